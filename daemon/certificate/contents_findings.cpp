// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>
#include <cmath>

#include "daemon/battery/uncertainty.h"
#include "daemon/certificate/contents_parts.h"
#include "daemon/grading/shown_finding.h"

namespace leadwright {
namespace {

/// The order on the page: what decides, then what explains.
constexpr std::array certified_order{Measurand::reserve_capacity_ref,
                                     Measurand::reserve_capacity_ref_at_least,
                                     Measurand::capacity_20h_ref,
                                     Measurand::load_margin,
                                     Measurand::load_margin_usual,
                                     Measurand::load_volts,
                                     Measurand::resistance,
                                     Measurand::soc,
                                     Measurand::ocv,
                                     Measurand::reserve_capacity,
                                     Measurand::reserve_capacity_at_least,
                                     Measurand::capacity_20h,
                                     Measurand::temperature,
                                     Measurand::delivered,
                                     Measurand::returned,
                                     Measurand::self_discharge,
                                     Measurand::charge_margin,
                                     Measurand::charge_peak,
                                     Measurand::polarisation,
                                     Measurand::accepted,
                                     Measurand::rest_slope,
                                     Measurand::acid_gravity,
                                     Measurand::acid_spread,
                                     Measurand::acid_cell_below,
                                     Measurand::soc_by_acid,
                                     Measurand::ocv_above_acid,
                                     Measurand::time_to_full,
                                     Measurand::charge_needed,
                                     Measurand::cranking_estimate,
                                     Measurand::reserve_capacity_ref_forecast,
                                     Measurand::amps_zero,
                                     Measurand::meters_apart};

bool is_of_complete_run(const TicketFile& file, const Finding& finding) {
  return finding.run == RunId{} || std::ranges::any_of(file.runs, [&](const Run& run) {
           return run.id == finding.run && run.outcome == RunOutcome::complete;
         });
}

const Finding* judged(const std::vector<const Finding*>& findings, Measurand measurand) {
  const auto found = std::ranges::find(findings, measurand, &Finding::measurand);
  return found == findings.end() ? nullptr : *found;
}

FindingKind kind_of(Measurand measurand) {
  switch (measurand) {
    case Measurand::reserve_capacity_at_least:
    case Measurand::reserve_capacity_ref_at_least:
      return FindingKind::at_least;
    case Measurand::cranking_estimate:
    case Measurand::load_margin_usual:
    case Measurand::charge_needed:
      return FindingKind::estimated;
    case Measurand::reserve_capacity_ref_forecast:
      return FindingKind::forecast;
    default:
      return FindingKind::measured;
  }
}

std::string value_words(const Finding& finding) {
  const ShownFinding words = shown_finding(finding);
  std::string text = words.value;
  text.append(" +- ").append(words.expanded);
  if (!words.unit.empty()) text.append(" ").append(words.unit);
  return text;
}

/// A voltage that was extrapolated from a smaller draw is an estimate; its conditions or method say so.
bool is_extrapolated(const Finding& finding) {
  return std::ranges::any_of(finding.budget,
                             [](const BudgetLine& line) { return line.quantity == "extrapolation"; });
}

}  // namespace

std::vector<const Finding*> judged_findings(const TicketFile& file) {
  std::vector<const Finding*> newest;
  for (const Measurand measurand : certified_order) {
    const Finding* found = nullptr;
    for (const Finding& finding : file.findings) {
      const bool in_time = !file.grade || finding.at <= file.grade->at;
      if (finding.measurand == measurand && in_time && is_of_complete_run(file, finding)) found = &finding;
    }
    if (found != nullptr) newest.push_back(found);
  }
  return newest;
}

std::vector<CertifiedFinding> certified_findings(const std::vector<const Finding*>& findings) {
  std::vector<CertifiedFinding> all;
  for (const Finding* finding : findings) {
    CertifiedFinding one;
    one.kind = is_extrapolated(*finding) ? FindingKind::estimated : kind_of(finding->measurand);
    one.name = shown_finding(*finding).name;
    one.value = value_words(*finding);
    one.conditions = finding->method;
    if (!finding->conditions.empty()) {
      one.conditions.append(one.conditions.empty() ? "" : "; ").append(finding->conditions);
    }
    if (finding->run != RunId{}) one.run = shown(finding->run);
    all.push_back(std::move(one));
  }
  return all;
}

std::string minutes_words(const std::vector<const Finding*>& findings) {
  const Finding* whole = judged(findings, Measurand::reserve_capacity_ref);
  if (whole == nullptr) whole = judged(findings, Measurand::reserve_capacity);
  const Finding* least = judged(findings, Measurand::reserve_capacity_ref_at_least);
  if (whole == nullptr && least == nullptr) return "not measured";
  if (least == nullptr || (whole != nullptr && whole->run >= least->run)) return value_words(*whole);
  return std::string("at least ").append(fixed(std::floor(least->value), 0)).append(" min, stopped there");
}

std::vector<std::string> not_measured_of(const std::vector<const Finding*>& findings) {
  const auto lacks = [&](Measurand measurand) { return judged(findings, measurand) == nullptr; };
  std::vector<std::string> texts;
  if (lacks(Measurand::reserve_capacity_ref) && lacks(Measurand::reserve_capacity)) {
    texts.emplace_back(lacks(Measurand::reserve_capacity_ref_at_least)
                           ? "Reserve capacity was not measured."
                           : "The end of the reserve capacity was not measured: the discharge was stopped.");
  }
  const Finding* load = judged(findings, Measurand::load_volts);
  if (load == nullptr) {
    texts.emplace_back("Not tested at cranking load.");
  } else if (is_extrapolated(*load)) {
    texts.emplace_back("Not tested at half the cold cranking current: a smaller draw was extrapolated.");
  }
  texts.emplace_back("Cold cranking current at -18 degC was not measured.");
  if (lacks(Measurand::capacity_20h_ref)) texts.emplace_back("20-hour capacity was not measured.");
  if (lacks(Measurand::resistance)) texts.emplace_back("Internal resistance was not measured.");
  if (lacks(Measurand::ocv)) texts.emplace_back("Open-circuit voltage was not measured.");
  if (lacks(Measurand::soc)) texts.emplace_back("State of charge was not determined.");
  if (lacks(Measurand::self_discharge)) texts.emplace_back("Self-discharge was not measured.");
  return texts;
}

std::vector<std::string> remembered_values(const TicketFile& file,
                                           const std::vector<const Finding*>& findings) {
  std::vector<std::string> texts;
  const auto add = [&](std::string text) {
    if (std::ranges::find(texts, text) == texts.end()) texts.push_back(std::move(text));
  };
  for (const Finding* finding : findings) {
    const bool is_minutes = finding->measurand == Measurand::reserve_capacity_ref ||
                            finding->measurand == Measurand::reserve_capacity_ref_at_least;
    for (const BudgetLine& line : finding->budget) {
      if (line.u_input.find("from memory") != std::string::npos)
        add("Error of the " + line.quantity + ", " +
            line.u_input.substr(0, line.u_input.find(", from memory")));
      if (is_minutes && line.quantity == "temperature coefficient" && line.u > 0.0)
        add("Growth of the minutes with temperature, " + line.value);
      if (is_minutes && line.quantity == battery_repeatability)
        add("Run-to-run spread of one battery, " + line.u_input);
    }
    if (finding->measurand == Measurand::capacity_20h_ref)
      add("Growth of the 20-hour capacity with temperature");
    if (finding->measurand == Measurand::soc || finding->measurand == Measurand::ocv_above_acid)
      add("Acid densities behind the state of charge");
    if (finding->measurand == Measurand::reserve_capacity_ref_forecast)
      add("From when on an unwarned end comes");
    const auto run = std::ranges::find(file.runs, finding->run, &Run::id);
    if (run != file.runs.end() && std::ranges::any_of(run->instruments, &UsedInstrument::calibration_overdue))
      add("How far a meter drifts past its calibration");
  }
  const std::vector<GradeRule> none;
  for (const GradeRule& rule : file.grade ? file.grade->rules : none) {
    if (rule.text.find("derived from the rated") != std::string::npos)
      add("Formula between 20-hour capacity and minutes");
  }
  return texts;
}

}  // namespace leadwright
