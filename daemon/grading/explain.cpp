// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/explain.h"

#include <initializer_list>
#include <utility>

#include "daemon/battery/uncertainty.h"
#include "daemon/grading/shown_finding.h"

namespace leadwright {
namespace {

void add_row(std::string& text, std::initializer_list<std::string> cells) {
  text.append("|");
  for (const std::string& cell : cells) text.append(" ").append(cell).append(" |");
  text.append("\n");
}

void add_part(std::string& text, const char* title, const std::string& words) {
  if (words.empty()) return;
  text.append("\n**").append(title).append("** ").append(words).append("\n");
}

template <class T, class InUnit>
void add_rating(std::string& text, const std::optional<Rating<T>>& rating, InUnit in_unit, const char* unit) {
  if (!rating) return;
  text.append(", ").append(fixed(in_unit(rating->value), 0)).append(" ").append(unit);
  if (rating->standard != RatingStandard::unknown)
    text.append(" (").append(word(rating->standard)).append(")");
}

std::string label_words(const Nameplate& plate) {
  std::string text(word(plate.chemistry));
  text.append(", ").append(std::to_string(plate.cells)).append(" cells");
  add_rating(
      text, plate.cca, [](Ampere amps) { return amps.si(); }, "A cold cranking");
  add_rating(text, plate.reserve_capacity, as_minutes, "min reserve capacity");
  if (!plate.reserve_capacity) text.append(", no reserve capacity stated");
  add_rating(text, plate.c20, as_ampere_hours, "Ah");
  text.append(plate.manufactured_on.empty() ? ", date code not read" : ", made ")
      .append(plate.manufactured_on);
  return text.append(".");
}

std::string story_words(const Story& story) {
  std::string text = story.complaint.empty() ? std::string("no complaint written down") : story.complaint;
  if (!story.sold_on.empty()) text.append("; sold ").append(story.sold_on);
  if (!story.receipt.empty()) text.append(", receipt ").append(story.receipt);
  if (!story.monitor_report.empty())
    text.append("; the vehicle's monitor said: ").append(story.monitor_report);
  if (const std::string monitor = words(story.monitor); !monitor.empty())
    text.append("; its numbers: ").append(monitor);
  return text.append(".");
}

std::string runs_words(const std::vector<Run>& runs) {
  std::string text;
  for (const Run& run : runs) {
    text.append(text.empty() ? "" : ", then ").append(run.procedure);
    if (run.outcome != RunOutcome::complete) text.append(" (").append(word(run.outcome)).append(")");
  }
  return text.empty() ? text : text.append(".");
}

std::string findings_table(const std::vector<Finding>& findings) {
  std::string text("\n| measured | value | +- (k = 2) | how |\n| --- | --- | --- | --- |\n");
  for (const Finding& finding : findings) {
    const ShownFinding shown = shown_finding(finding);
    const std::string unit = shown.unit.empty() ? shown.unit : " " + shown.unit;
    std::string how = finding.method;
    if (!finding.conditions.empty()) how.append("; ").append(finding.conditions);
    add_row(text, {shown.name, std::string(shown.value).append(unit),
                   std::string(shown.expanded).append(unit), how});
  }
  return text;
}

std::string budget_table(const Finding& finding) {
  std::string text("\nWhere the uncertainty of ");
  text.append(key(finding.measurand)).append(" comes from:\n\n");
  text.append("| quantity | value | its u | sensitivity | adds | share |\n");
  text.append("| --- | --- | --- | --- | --- | --- |\n");
  const int decimals = decimals_of(finding.u) + 1;
  for (const BudgetLine& line : finding.budget) {
    add_row(text, {line.quantity, line.value, line.u_input, line.sensitivity, fixed(line.u, decimals),
                   fixed(100.0 * line.share, 1).append(" %")});
  }
  add_row(text, {"together", fixed(finding.value, decimals), "", "", fixed(finding.u, decimals), "100 %"});
  return text;
}

/// What the first rule with numbers was about.
const Finding* deciding(const Evidence& evidence, const Grade& grade) {
  for (const GradeRule& rule : grade.rules) {
    if (!rule.limit) continue;
    if (rule.unit == "Ah") return newest(evidence, Measurand::capacity_20h_ref);
    if (rule.unit == "V") return newest(evidence, Measurand::load_margin);
    return newest(evidence, Measurand::reserve_capacity_ref);
  }
  return nullptr;
}

std::string next_words(const Grade& grade) {
  if (grade.next_procedure.empty()) return {};
  std::string text = grade.next_procedure;
  return grade.next_why.empty() ? text.append(".") : text.append(". ").append(grade.next_why);
}

}  // namespace

std::string explained(const Evidence& evidence, const Grade& grade) {
  std::string text;
  add_part(text, "Label.", label_words(evidence.nameplate));
  add_part(text, "Story.", story_words(evidence.story));
  add_part(text, "Done.", runs_words(evidence.runs));
  if (!evidence.findings.empty()) text.append(findings_table(evidence.findings));
  const Finding* finding = deciding(evidence, grade);
  if (finding != nullptr && !finding->budget.empty()) text.append(budget_table(*finding));
  if (!grade.rules.empty()) {
    std::string policy = "of the policy \"";
    add_part(text, "Rules",
             policy.append(grade.policy).append("\", in the order in which they were applied:"));
    text.append("\n");
    int number = 0;
    for (const GradeRule& rule : grade.rules)
      text.append(std::to_string(++number)).append(". ").append(rule.text).append("\n");
  }
  text.append("\n**Grade ").append(1, grade.letter).append(".** ").append(grade.reason).append("\n");
  add_part(text, "What to do.", grade.disposition);
  add_part(text, "Next.", next_words(grade));
  add_part(text, "Second life.", grade.second_life);
  add_part(text, "Warranty.", grade.warranty);
  for (const std::string& flag : grade.flags) add_part(text, "Look at this first.", flag);
  return text;
}

}  // namespace leadwright
