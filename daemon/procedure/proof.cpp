// SPDX-License-Identifier: Apache-2.0
#include "daemon/procedure/proof.h"

#include <fmt/format.h>

#include <algorithm>

#include "daemon/battery/chemistry_limits.h"

namespace leadwright {
namespace {

/// A battery that a file is proved for.
struct Case {
  Chemistry chemistry = Chemistry::flooded;
  int cells = 6;
  Celsius at{25.0};
  Ampere cca{600.0};
  Second reserve_capacity{6000.0};
  Coulomb c20{216000.0};
  std::string text() const {
    return fmt::format("{} with {} cells of {:.0f} Ah at {:.0f} degC", word(chemistry), cells,
                       as_ampere_hours(c20), at.degc());
  }
};

/// The ends of what starter batteries have (nameplate.h), and a usual one.
std::vector<Case> cases() {
  std::vector<Case> all;
  for (const Chemistry chemistry : ChemistryTable::chemistries) {
    for (const int cells : {3, 6}) {
      for (const Celsius at : {Celsius(0.0), Celsius(25.0), Celsius(50.0)}) {
        all.push_back({chemistry, cells, at, Ampere(50.0), minutes(10.0), ampere_hours(5.0)});
        all.push_back({chemistry, cells, at, Ampere(600.0), minutes(100.0), ampere_hours(60.0)});
        all.push_back({chemistry, cells, at, Ampere(2000.0), minutes(600.0), ampere_hours(300.0)});
      }
    }
  }
  return all;
}

Range exactly(double value) {
  return {value, value};
}

Values label_of(const Case& battery) {
  Values values;
  values.set(Name::cells, battery.cells);
  values.set(Name::cca, battery.cca.si());
  values.set(Name::cranking_load, 0.5 * battery.cca.si());
  values.set(Name::reserve_capacity, battery.reserve_capacity.si());
  values.set(Name::c20, battery.c20.si());
  values.set(Name::capacity, battery.c20.si());
  return values;
}

Ranges named(const Case& battery) {
  const Values label = label_of(battery);
  Ranges ranges;
  for (const Name name :
       {Name::cells, Name::cca, Name::cranking_load, Name::reserve_capacity, Name::c20, Name::capacity}) {
    ranges.set(name, exactly(*label.get(name)));
  }
  if (const auto limit = charge_limit(battery.chemistry, battery.cells, battery.at)) {
    ranges.set(Name::charge_volts, exactly(limit->si()));
  }
  return ranges;
}

/// Names and own names of each frame.
std::vector<Ranges> ranges_of(const Procedure& procedure, const Case& battery) {
  const auto row =
      static_cast<std::size_t>(std::ranges::find(ChemistryTable::chemistries, battery.chemistry) -
                               ChemistryTable::chemistries.begin());
  std::vector<Ranges> all;
  for (const Frame& frame : procedure.frames) {
    Ranges ranges = named(battery);
    for (const ChemistryTable& table : frame.tables) {
      ranges.set_own(table.slot, range_of(table.values[row], ranges));
    }
    for (const Parameter& parameter : frame.parameters) {
      Range range = range_of(parameter.initial, ranges);
      if (all.empty() && parameter.lowest && parameter.highest) {
        range = {range_of(*parameter.lowest, ranges).low, range_of(*parameter.highest, ranges).high};
      }
      for (const auto& [slot, value] : frame.arguments) {
        if (slot == parameter.slot) range = range_of(value, all[frame.parent]);
      }
      ranges.set_own(parameter.slot, range);
    }
    all.push_back(std::move(ranges));
  }
  return all;
}

/// Looks at one step for one battery.
class StepProof {
 public:
  StepProof(const Procedure& procedure, const Step& step, const Case& battery,
            const std::vector<Ranges>& ranges)
      : procedure_(procedure), step_(step), battery_(battery), ranges_(ranges) {}

  std::optional<Error> failed() const {
    const auto hard = envelope_of(battery_.chemistry, battery_.cells);
    if (!hard) return std::nullopt;
    if (step_.kind == StepKind::charge) {
      if (auto above = is_above(step_.volts, hard->volts_max.si(), "V", "volts")) return above;
    }
    for (const auto* low : {&step_.cutoff, &step_.ends_at}) {
      if (auto below = is_below(*low, hard->volts_min.si())) return below;
    }
    for (std::size_t frame = step_.frame;; frame = procedure_.frames[frame].parent) {
      if (auto outside = is_outside(procedure_.frames[frame].limits, frame)) return outside;
      if (procedure_.frames[frame].parent == frame) break;
    }
    return std::nullopt;
  }

 private:
  std::optional<Error> is_outside(const EnvelopeLimits& limits, std::size_t frame) const {
    const Ranges& ranges = ranges_[frame];
    if (limits.amps_max) {
      const double most = range_of(*limits.amps_max, ranges).low;
      for (const auto* amps : {&step_.amps, &step_.amps_max}) {
        if (auto above = is_above(*amps, most, "A", "amps")) return above;
      }
      if (step_.instead) {
        if (auto above = is_above(step_.instead->amps, most, "A", "instead.amps")) return above;
      }
    }
    if (limits.volts_max && step_.kind == StepKind::charge) {
      if (auto above = is_above(step_.volts, range_of(*limits.volts_max, ranges).low, "V", "volts"))
        return above;
    }
    if (limits.volts_min) {
      const double least = range_of(*limits.volts_min, ranges).high;
      for (const auto* low : {&step_.cutoff, &step_.ends_at}) {
        if (auto below = is_below(*low, least)) return below;
      }
    }
    return std::nullopt;
  }

  std::optional<Error> is_above(const std::optional<Expression>& amount, double most, const char* unit,
                                const char* key) const {
    if (!amount) return std::nullopt;
    const double high = range_of(*amount, ranges_[step_.frame]).high;
    if (high <= most + rounding) return std::nullopt;
    return Error{Errc::bad_input,
                 fmt::format("\"{}\": {} = \"{}\" can be {:.2f} {}, and the limit is {:.2f} {} for {}",
                             step_.name, key, amount->text(), high, unit, most, unit, battery_.text()),
                 step_.where, "lower it, bound it with min(...), or correct [limits]"};
  }

  std::optional<Error> is_below(const std::optional<Expression>& amount, double least) const {
    if (!amount) return std::nullopt;
    const double low = range_of(*amount, ranges_[step_.frame]).low;
    if (low >= least - rounding) return std::nullopt;
    return Error{Errc::bad_input,
                 fmt::format("\"{}\": \"{}\" can be {:.2f} V, and the limit is {:.2f} V for {}", step_.name,
                             amount->text(), low, least, battery_.text()),
                 step_.where, "raise it, bound it with max(...), or correct [limits]"};
  }

  static constexpr double rounding = 1e-9;
  const Procedure& procedure_;
  const Step& step_;
  const Case& battery_;
  const std::vector<Ranges>& ranges_;
};

void find_outside(const Procedure& procedure, std::vector<Error>& errors) {
  const std::vector<Case> batteries = cases();
  std::vector<std::vector<Ranges>> ranges;
  ranges.reserve(batteries.size());
  for (const Case& battery : batteries) ranges.push_back(ranges_of(procedure, battery));
  for (const Step& step : procedure.steps) {
    if (!energises(step.kind)) continue;
    for (std::size_t i = 0; i < batteries.size(); ++i) {
      auto failed = StepProof(procedure, step, batteries[i], ranges[i]).failed();
      if (!failed) continue;
      errors.push_back(std::move(*failed));
      break;
    }
  }
}

void find_unreachable(const Procedure& procedure, std::vector<Error>& errors) {
  std::vector<bool> reached(procedure.steps.size() + 1, false);
  std::vector<std::size_t> open{0};
  while (!open.empty()) {
    const std::size_t at = open.back();
    open.pop_back();
    if (reached[at]) continue;
    reached[at] = true;
    if (at == procedure.steps.size()) continue;
    const Step& step = procedure.steps[at];
    if (step.branch) {
      open.push_back(step.branch->then);
      open.push_back(step.branch->otherwise);
      // A step that was gone back to often enough goes on at the next one.
      if (step.branch->times_max > 0) open.push_back(at + 1);
    } else {
      if (!step.ends || step.when) open.push_back(at + 1);
      if (step.unanswered) open.push_back(*step.unanswered);
    }
  }
  for (std::size_t at = 0; at < procedure.steps.size(); ++at) {
    if (reached[at]) continue;
    errors.push_back({Errc::bad_input,
                      fmt::format("the step \"{}\" can never be reached", procedure.steps[at].name),
                      procedure.steps[at].where, "correct the decide step before it, or take it out"});
  }
}

void find_too_long(const Procedure& procedure, std::vector<Error>& errors) {
  if (!procedure.limits().time_max) return;
  for (const Case& battery : cases()) {
    Values values = label_of(battery);
    if (!bind_names(procedure, battery.chemistry, {}, values)) continue;
    auto most = longest(procedure, values);
    if (most && procedure.resumes) *most += procedure.interruption_max * interruptions_max;
    const auto limit = procedure.limits().time_max->evaluate(values);
    if (!most || !limit || *most <= Second(*limit)) continue;
    errors.push_back({Errc::bad_input,
                      fmt::format("the steps{} can take {:.2f} h, and the run's limit is {:.2f} h for {}",
                                  procedure.resumes ? " and interruptions" : "", as_hours(*most),
                                  *limit / 3600.0, battery.text()),
                      procedure.file, "raise time_max of [limits], or lower at_most of the steps"});
    return;
  }
}

}  // namespace

std::vector<int> most_runs(const Procedure& procedure) {
  std::vector<int> counts(procedure.steps.size(), 1);
  for (std::size_t at = 0; at < procedure.steps.size(); ++at) {
    const auto& branch = procedure.steps[at].branch;
    if (!branch) continue;
    const std::size_t back = std::min(branch->then, branch->otherwise);
    for (std::size_t again = back; again <= at; ++again) counts[again] += branch->times_max;
  }
  return counts;
}

std::optional<Second> longest(const Procedure& procedure, Values values) {
  Second sum{0.0};
  const std::vector<int> counts = most_runs(procedure);
  for (std::size_t at = 0; at < procedure.steps.size(); ++at) {
    const Step& step = procedure.steps[at];
    if (!step.at_most) continue;
    values.enter(step.frame);
    const auto limit = step.at_most->evaluate(values);
    if (!limit) return std::nullopt;
    double most = *limit;
    if (step.instead && step.instead->at_most) {
      most = std::max(most, step.instead->at_most->evaluate(values).value_or(most));
    }
    sum += Second(most) * counts[at];
  }
  return sum;
}

std::optional<Second> longest_usual(const Procedure& procedure) {
  const Case usual;
  Values values = label_of(usual);
  return bind_names(procedure, usual.chemistry, {}, values) ? longest(procedure, values) : std::nullopt;
}

std::vector<Error> unproved(const Procedure& procedure) {
  std::vector<Error> errors;
  find_unreachable(procedure, errors);
  find_outside(procedure, errors);
  find_too_long(procedure, errors);
  for (Error& error : stitched(procedure)) errors.push_back(std::move(error));
  return errors;
}

}  // namespace leadwright
