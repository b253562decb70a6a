// SPDX-License-Identifier: Apache-2.0
#include "tools/client/show.h"

#include <fmt/format.h>

#include <boost/json/array.hpp>
#include <cmath>
#include <utility>
#include <vector>

#include "tools/client/json_view.h"
#include "tools/client/show_override.h"
#include "tools/client/table.h"
#include "tools/client/who.h"

namespace leadwright {
namespace {

namespace json = boost::json;
using Columns = std::vector<std::pair<std::string, std::string>>;  ///< heading, key

/// Amounts and uncertainties differ by orders of magnitude: as many decimals as tell four digits of 0.01.
std::string cell(const json::value& value) {
  if (!value.is_double()) return words(value);
  const double size = std::abs(value.get_double());
  return decimal(value.get_double(), size >= 100.0 ? 1 : size >= 1.0 ? 3 : 5);
}

std::string columns_of(const json::value& list, const Columns& columns) {
  std::vector<std::vector<std::string>> rows(1);
  for (const auto& [heading, key] : columns) rows[0].push_back(heading);
  if (list.is_array()) {
    for (const auto& item : list.get_array()) {
      auto& row = rows.emplace_back();
      for (const auto& [heading, key] : columns) row.push_back(cell(member(item, key)));
    }
  }
  return table(rows);
}

/// "key  value" for each member that holds one; members that hold more are left to their own sections.
void add_scalars(const json::value& object, std::vector<std::vector<std::string>>& rows) {
  if (!object.is_object()) return;
  for (const auto& [key, value] : object.get_object()) {
    if (value.is_object() || value.is_array() || words(value).empty()) continue;
    rows.push_back({std::string(key), cell(value)});
  }
}

std::string section(std::string_view title, const json::value& list, const Columns& columns) {
  if (!list.is_array() || list.get_array().empty()) return {};
  std::string text("\n");
  text.append(title).append("\n").append(columns_of(list, columns));
  return text;
}

void add_line(std::string& text, std::string_view title, const std::string& what) {
  if (!what.empty()) text.append(title).append(": ").append(what).append("\n");
}

/// "About 35 min", "about 9.2 h"; nothing for what no place here can do.
std::string about(double seconds) {
  if (seconds <= 0.0) return "no place here can do it";
  return seconds < 7200.0 ? fmt::format("about {:.0f} min", seconds / 60.0)
                          : fmt::format("about {:.1f} h", seconds / 3600.0);
}

std::string ahead_section(const json::value& ahead) {
  if (!ahead.is_array() || ahead.get_array().empty()) return {};
  std::string text("\nAHEAD, if it turns out to be sound\n");
  double bay_s = 0.0;
  for (const auto& each : ahead.get_array()) {
    const auto& expected = member(each, "expected_s");
    const double seconds = expected.is_number() ? expected.to_number<double>() : 0.0;
    const bool is_bay = words(member(each, "at")) == "bay";
    if (is_bay) bay_s += seconds;
    text += fmt::format("{} at a {}, {}. {}\n", words(member(each, "procedure")),
                        is_bay ? "bay" : "charging place", about(seconds), words(member(each, "why")));
  }
  return text + (bay_s > 0.0 ? fmt::format("Bay time: {}.\n", about(bay_s)) : std::string());
}

std::string consent_section(const json::value& runs, const json::value& people) {
  if (!runs.is_array()) return {};
  std::string text;
  for (const auto& run : runs.get_array()) {
    const auto& consent = member(run, "consent");
    if (!consent.is_object()) continue;
    text.append(text.empty() ? "\nCONSENT\n" : "")
        .append(words(member(run, "run")))
        .append(": ")
        .append(words(member(consent, "to")))
        .append(", agreed to by ")
        .append(who(people, words(member(consent, "given_by"))))
        .append(", written down by ")
        .append(who(people, words(member(consent, "recorded_by"))))
        .append(" at ")
        .append(words(member(consent, "at")))
        .append("\n");
  }
  return text;
}

std::string grade_section(const json::value& grade) {
  if (!grade.is_object()) return {};
  const auto said = [&grade](std::string_view key) { return words(member(grade, key)); };
  std::string text("\n");
  add_line(text, "GRADE " + said("letter"), said("reason"));
  const auto& rules = member(grade, "rules");
  if (rules.is_array()) {
    for (const auto& rule : rules.get_array())
      text.append("  ").append(words(member(rule, "text"))).append("\n");
  }
  add_line(text, "what to do", said("disposition"));
  const std::string next = said("next_procedure");
  add_line(text, "next", next.empty() ? next : next + ". " + said("next_why"));
  add_line(text, "second life", said("second_life"));
  add_line(text, "warranty", said("warranty"));
  const auto& flags = member(grade, "flags");
  if (flags.is_array()) {
    for (const auto& flag : flags.get_array()) add_line(text, "look at this first", words(flag));
  }
  return text;
}

/// The budget of each finding.
std::string budgets(const json::value& findings) {
  std::string text;
  if (!findings.is_array()) return text;
  for (const auto& finding : findings.get_array()) {
    text += section("BUDGET OF " + words(member(finding, "measurand")), member(finding, "budget"),
                    {{"QUANTITY", "quantity"},
                     {"VALUE", "value"},
                     {"ITS U", "u_input"},
                     {"SENSITIVITY", "sensitivity"},
                     {"ADDS", "u"},
                     {"SHARE", "share"}});
  }
  return text;
}

}  // namespace

std::string show_tickets(const std::string& body) {
  const auto list = parse_json(body);
  if (!list || !list->is_array()) return body + "\n";
  if (list->get_array().empty()) return "no ticket\n";
  return columns_of(*list, {{"TICKET", "ticket"},
                            {"BATTERY", "battery"},
                            {"STATE", "state"},
                            {"PLACE", "place"},
                            {"SINCE", "state_since"},
                            {"WHY", "state_reason"}});
}

std::string show_ticket(const std::string& body) {
  const auto page = parse_json(body);
  if (!page || !page->is_object()) return body + "\n";
  std::vector<std::vector<std::string>> rows;
  const auto& ticket = member(*page, "ticket");
  add_scalars(ticket, rows);
  add_scalars(member(ticket, "story"), rows);
  add_scalars(member(ticket, "inspection"), rows);
  add_scalars(member(*page, "battery"), rows);
  return table(rows) +
         section("RUNS", member(*page, "runs"),
                 {{"RUN", "run"},
                  {"PROCEDURE", "procedure"},
                  {"PLACE", "place"},
                  {"STARTED", "started_at"},
                  {"OUTCOME", "outcome"},
                  {"WHY", "end_reason"}}) +
         ahead_section(member(*page, "ahead")) +
         consent_section(member(*page, "runs"), member(*page, "people")) +
         section("FINDINGS", member(*page, "findings"),
                 {{"MEASURAND", "measurand"},
                  {"VALUE", "value"},
                  {"STANDARD UNCERTAINTY", "u"},
                  {"RUN", "run"},
                  {"CONDITIONS", "conditions"}}) +
         section("FAULTS", member(*page, "faults"),
                 {{"FAULT", "kind"}, {"RUN", "run"}, {"EVIDENCE", "evidence"}}) +
         section("PHOTOS", member(*page, "photos"),
                 {{"PHOTO", "photo"}, {"RUN", "run"}, {"AT", "at"}, {"BYTES", "bytes"}, {"ABOUT", "about"}}) +
         budgets(member(*page, "findings")) + grade_section(member(*page, "grade")) + overrides_section(body);
}

std::string show_added_ticket(const std::string& body) {
  const auto answer = parse_json(body);
  if (!answer || !answer->is_object()) return body + "\n";
  std::string text("ticket ");
  text.append(words(member(*answer, "ticket"))).append(" is ").append(words(member(*answer, "state")));
  if (const auto reason = words(member(*answer, "state_reason")); !reason.empty()) text += ": " + reason;
  text += "\n";
  const auto& warnings = member(*answer, "warnings");
  if (warnings.is_array()) {
    for (const auto& warning : warnings.get_array())
      text.append("warning: ").append(words(warning)).append("\n");
  }
  return text;
}

std::string show_changed_ticket(const std::string& body) {
  const auto ticket = parse_json(body);
  if (!ticket || !ticket->is_object()) return body + "\n";
  std::string text = words(member(*ticket, "ticket")) + " is " + words(member(*ticket, "state"));
  if (const auto place = words(member(*ticket, "place")); !place.empty()) text += " at " + place;
  return text + "\n";
}

std::string show_places(const std::string& body) {
  const auto list = parse_json(body);
  if (!list || !list->is_array()) return body + "\n";
  return columns_of(*list, {{"PLACE", "place"},
                            {"KIND", "kind"},
                            {"DOES", "activity"},
                            {"TICKET", "ticket"},
                            {"PROBLEM", "problem"}});
}

std::string show_start(const std::string& body) {
  const auto answer = parse_json(body);
  if (!answer || !answer->is_object()) return body + "\n";
  return words(member(*answer, "place")) + " starts " + words(member(*answer, "procedure")) + " for " +
         words(member(*answer, "ticket")) + "\n";
}

std::string show_done(const std::string&) {
  return "done\n";
}

}  // namespace leadwright
