// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "daemon/certificate/page_parts.h"

namespace leadwright {
namespace {

constexpr double table_gap = 8.0;
constexpr double name_share = 0.335;
constexpr double what_share = 0.28;
constexpr double value_share = 0.19;

double facts_column(Sheet& sheet, SheetFrame at, const std::vector<CertificateFact>& facts,
                    const Density& density) {
  const double from = at.y;
  for (const CertificateFact& fact : facts) {
    const double name = name_share * at.width;
    const double left =
        sheet.text({at.x, at.y, name, 0.0}, capitalised(fact.name), {density.size, false, false, Ink::quiet});
    const double right =
        sheet.text({at.x + name + table_gap, at.y, at.width - name - table_gap, 0.0}, fact.value,
                   {density.size, false, false, Ink::dark, density.how_lines_max + 1});
    at.y += std::max(left, right) + 0.8;
  }
  return at.y - from;
}

double finding_row(Sheet& sheet, SheetFrame at, const CertifiedFinding& finding, const Density& density) {
  const bool is_measured = finding.kind == FindingKind::measured;
  const double what = what_share * at.width;
  const double value = value_share * at.width;
  std::string how = finding.run;
  if (!finding.conditions.empty()) how.append(how.empty() ? "" : ": ").append(finding.conditions);
  if (!is_measured) how = std::string(word(finding.kind)).append(". ").append(how);
  const double first = sheet.text({at.x, at.y, what, 0.0}, capitalised(finding.name), {density.size});
  const double second = sheet.text({at.x + what + table_gap, at.y, value, 0.0}, finding.value,
                                   {density.size, is_measured, false, Ink::dark});
  const double third = sheet.text(
      {at.x + what + value + 2.0 * table_gap, at.y, at.width - what - value - 2.0 * table_gap, 0.0},
      capitalised(how), {density.size - 0.8, false, false, Ink::quiet, density.how_lines_max});
  const double height = std::max({first, second, third}) + 1.6;
  sheet.line(at.x, at.y + height - 0.5, at.x + at.width, at.y + height - 0.5, Ink::line, 0.4);
  return height + 0.8;
}

}  // namespace

std::string capitalised(std::string text) {
  if (!text.empty() && text.front() >= 'a' && text.front() <= 'z')
    text.front() = static_cast<char>(text.front() - 'a' + 'A');
  return text;
}

double page_heading(Sheet& sheet, SheetFrame at, const char* words, const Density& density) {
  const double height = sheet.text(at, words, {density.size + 0.8, true});
  sheet.line(at.x, at.y + height + 0.5, at.x + at.width, at.y + height + 0.5, Ink::dark, 0.8);
  return height + 3.0;
}

double page_list(Sheet& sheet, SheetFrame at, const std::vector<std::string>& lines, const Density& density) {
  const double from = at.y;
  const std::size_t most = std::min(lines.size(), density.list_max);
  for (std::size_t i = 0; i < most; ++i) {
    at.y +=
        sheet.text(at, lines[i], {density.size - 0.4, false, false, Ink::dark, density.how_lines_max + 1}) +
        0.6;
  }
  if (lines.size() > most) {
    at.y += sheet.text(at, std::to_string(lines.size() - most) + " more in the signed statement.",
                       {density.size - 0.4, false, false, Ink::quiet});
  }
  return at.y - from;
}

double page_battery(Sheet& sheet, SheetFrame at, const Certificate& certificate, const Density& density) {
  SheetFrame left = at;
  left.width = 0.47 * (at.width - 2.0 * table_gap);
  SheetFrame right = at;
  right.x += left.width + 2.0 * table_gap;
  right.width -= left.width + 2.0 * table_gap;
  const double head = page_heading(sheet, left, "What its label says", density);
  page_heading(sheet, right, "What was told and seen", density);
  left.y += head;
  right.y += head;
  return head + std::max(facts_column(sheet, left, certificate.nameplate, density),
                         facts_column(sheet, right, certificate.visit, density));
}

double page_findings(Sheet& sheet, SheetFrame at, const Certificate& certificate, const Density& density) {
  const double from = at.y;
  at.y += page_heading(sheet, at, "Findings, with expanded uncertainty (k = 2, about 95 %)", density);
  const std::size_t all = certificate.findings.size();
  const std::size_t most = std::min(all, density.findings_max);
  for (std::size_t i = 0; i < most; ++i) at.y += finding_row(sheet, at, certificate.findings[i], density);
  const TextStyle quiet{density.size, false, false, Ink::quiet};
  if (all == 0) at.y += sheet.text(at, "Nothing was measured.", quiet);
  if (all > most) {
    at.y += sheet.text(at, std::to_string(all - most) + " more findings are in the signed statement.", quiet);
  }
  return at.y - from;
}

double page_limits(Sheet& sheet, SheetFrame at, const Certificate& certificate, const Density& density) {
  const double from = at.y;
  const auto add = [&](const char* title, const std::vector<std::string>& lines) {
    if (lines.empty()) return;
    at.y += page_heading(sheet, at, title, density);
    at.y += page_list(sheet, at, lines, density) + 4.0;
  };
  add("Not measured", certificate.not_measured);
  add("From memory, without a source", certificate.remembered);
  add("By a person's word", certificate.overrides);
  return at.y - from;
}

double page_instruments(Sheet& sheet, SheetFrame at, const Certificate& certificate, const Density& density) {
  const double from = at.y;
  at.y += page_heading(sheet, at, "Measured with", density);
  std::vector<std::string> lines;
  for (const CertifiedInstrument& one : certificate.instruments)
    lines.push_back(one.name + ": " + one.identity + ", " + one.calibration);
  if (lines.empty()) lines.emplace_back("No instrument of the bench.");
  at.y += page_list(sheet, at, lines, density);
  std::string work;
  for (const std::string& run : certificate.work) work.append(work.empty() ? "" : "; ").append(run);
  if (!work.empty()) {
    at.y += sheet.text(at, "Runs: " + work + ".",
                       {density.size - 1.0, false, false, Ink::quiet, density.paragraph_lines_max});
  }
  return at.y - from;
}

double page_cautions(Sheet& sheet, SheetFrame at, const Certificate& certificate, const Density& density) {
  std::string text;
  for (const std::string& caution : certificate.cautions)
    text.append(text.empty() ? "" : " ").append(caution);
  if (text.empty()) return 0.0;
  const double inset = 4.0;
  const TextStyle style{density.size - 0.9};
  const SheetFrame inner{at.x + inset, at.y + inset, at.width - 2.0 * inset, 0.0};
  const bool was = sheet.is_measuring();
  sheet.measure_only(true);
  const double height = sheet.text(inner, "Cautions. " + text, style) + 2.0 * inset;
  sheet.measure_only(was);
  sheet.fill({at.x, at.y, at.width, height}, Ink::field);
  sheet.text(inner, "Cautions. " + text, style);
  return height;
}

double page_foot(Sheet& sheet, SheetFrame at, const Certificate& certificate, const PageMarks& marks,
                 const Density& density) {
  const double from = at.y;
  sheet.line(at.x, at.y, at.x + at.width, at.y, Ink::dark, 0.8);
  at.y += 3.0;
  const double size = std::max(6.2, density.size - 1.4);
  const TextStyle plain{size, false, false, Ink::quiet};
  const TextStyle mono{size - 0.4, false, true, Ink::quiet};
  at.y += sheet.text(at,
                     "Policy " + certificate.policy + " (" + certificate.policy_hash +
                         "), software Leadwright " + certificate.software + ". Statement " +
                         marks.statement_id + ", key " + marks.key_id + ".",
                     plain) +
          1.0;
  at.y += sheet.text(at, "Ed25519 " + marks.signature, mono) + 1.0;
  at.y += sheet.text(
      at,
      "Verify offline: leadwright certificate verify FILE --key bench.key, with this file or with the "
      "text of the square code. This is the result of a test, not a promise for the future.",
      plain);
  return at.y - from;
}

}  // namespace leadwright
