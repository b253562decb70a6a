// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>

#include "daemon/place/envelope.h"
#include "daemon/place/label_values.h"
#include "daemon/place/reach.h"
#include "daemon/place/run.h"
#include "daemon/procedure/expression_words.h"
#include "daemon/procedure/proof.h"

namespace leadwright {

namespace {

/// Rested and full (F: 12.6 V and a little more for six cells).
constexpr Volt cell_rested{2.1};
constexpr Unit in_amps{0, 1, 0, 0, false};

InstrumentReach reach_of(const PlaceProfiles& place) {
  InstrumentReach reach;
  if (place.load != nullptr) reach.load_amps_max = place.load->amps_max;
  if (place.charger != nullptr) {
    reach.charger_amps_max = place.charger->amps_max;
    reach.charger_volts_max = place.charger->volts_max;
  }
  return reach;
}

class Planner {
 public:
  explicit Planner(const PlanRequest& request) : request_(request), procedure_(*request.procedure) {}

  RunPlan plan() {
    plan_.attended = procedure_.attended;
    plan_.consent = procedure_.consent;
    if (!is_lead(request_.nameplate.chemistry)) {
      obstacle({Errc::refused,
                fmt::format("chemistry \"{}\" is never energised on this bench",
                            word(request_.nameplate.chemistry)),
                "chemistry", "no role can override this"});
      return std::move(plan_);
    }
    const InstrumentReach reach = reach_of(request_.place);
    const Result<void> bound = fill_values(
        {procedure_, request_.nameplate, request_.parameters, request_.found, reach, Celsius(25.0)}, values_);
    if (!bound) {
      obstacle(bound.error());
      return std::move(plan_);
    }
    find_missing_instruments();
    auto envelopes = envelopes_for(procedure_, request_.nameplate, values_, reach);
    if (envelopes) {
      envelopes_ = std::move(*envelopes);
    } else {
      obstacle(envelopes.error());
    }
    const std::vector<int> runs = most_runs(procedure_);
    for (std::size_t at = 0; at < procedure_.steps.size(); ++at) add(procedure_.steps[at], runs[at]);
    find_certain_stops();
    sum();
    return std::move(plan_);
  }

 private:
  void obstacle(Error error) {
    const auto is_same = [&error](const Error& known) { return known.what == error.what; };
    if (std::ranges::none_of(plan_.obstacles, is_same)) plan_.obstacles.push_back(std::move(error));
  }

  void find_missing_instruments() {
    const auto demand = [this](bool needed, const Profile* has, const char* what) {
      if (!needed || has != nullptr) return;
      obstacle({Errc::unsupported, fmt::format("this place has no {}", what), procedure_.file,
                "move the battery to a place that has one"});
    };
    demand(procedure_.needs_load, request_.place.load, "load");
    demand(procedure_.needs_charger, request_.place.charger, "charger");
    demand(procedure_.needs_thermometer, request_.place.thermometer, "thermometer");
  }

  /// What is known now, each exactly; what is measured may be anything.
  Ranges known() const {
    Ranges ranges;
    for (int index = 0; index < static_cast<int>(Name::count_); ++index) {
      const auto name = static_cast<Name>(index);
      const auto& value = values_.get(name);
      if (value && !is_live(name)) ranges.set(name, {*value, *value});
    }
    for (std::size_t slot = 0; slot < Scope::names_max; ++slot) {
      if (const auto value = values_.own(slot)) ranges.set_own(slot, {*value, *value});
    }
    ranges.set(Name::volts, {std::numeric_limits<double>::min(), std::numeric_limits<double>::infinity()});
    return ranges;
  }

  /// A run that comes to such a step is stopped there, whatever is measured. Behind a fork it need not come.
  void find_certain_stops() {
    for (const Step& step : procedure_.steps) {
      if (step.branch || step.ends) return;
      values_.enter(step.frame);
      for (const Condition& condition : step.abort) {
        if (range_of(condition.when, known()).low > 0.0)
          obstacle({Errc::refused, condition.name, procedure_.file, "take another procedure"});
      }
    }
  }

  /// Zero where the step has no such amount; an obstacle where a datum is missing. What a step keeps is known
  /// only when it runs.
  double amount(const std::optional<Expression>& expression) {
    if (!expression) return 0.0;
    const auto value = expression->evaluate(values_);
    if (value) return *value;
    if (!expression->is_kept()) obstacle(lacks_datum(*expression, values_, procedure_.file));
    return 0.0;
  }

  void add(Step step, int runs_max) {
    values_.enter(step.frame);
    PlannedStep planned;
    planned.runs_max = runs_max;
    if (draws(step.kind)) plan_draw(step, planned);
    const ExpressionWords words = [this](const Expression& each) { return in_words(each, values_); };
    planned.account = account_of(procedure_, step, words);
    planned.longest = Second(amount(step.at_most));
    planned.expected = lasts(step.kind) ? expected_length(step, values_).value_or(Second(0.0)) : Second(0.0);
    if (draws(step.kind)) planned.drawn_max = draw_amps_ * longest_draw(step, planned.longest);
    if (step.kind == StepKind::charge) plan_charge(step, planned);
    plan_.steps.push_back(std::move(planned));
  }

  static Second longest_draw(const Step& step, Second longest) {
    return step.pulse ? std::min(longest, (step.pulse->width + step.pulse->pause) * step.pulse->count)
                      : longest;
  }

  void plan_draw(Step& step, PlannedStep& planned) {
    const Volt rested = cell_rested * request_.nameplate.cells;
    const double held = step.watts ? amount(step.watts) / rested.si() : 0.0;
    draw_amps_ = Ampere(step.amps ? amount(step.amps) : std::max(held, amount(step.amps_max)));
    if (request_.place.load == nullptr) return;
    const auto able = [&](Ampere amps) {
      const double cutoff = amount(step.cutoff);
      return can_draw(*request_.place.load, amps, rested,
                      cutoff > 0.0 ? std::optional(Volt(cutoff)) : std::nullopt);
    };
    Result<void> possible = able(draw_amps_);
    if (!possible && step.instead) {
      planned.estimated = step.instead->note;
      take_instead(step);
      draw_amps_ = Ampere(amount(step.amps));
      possible = able(draw_amps_);
    }
    if (!possible) obstacle(possible.error());
    if (!envelopes_.empty() && draw_amps_ > envelopes_[step.frame].amps_max) {
      obstacle({Errc::refused,
                fmt::format("\"{}\" draws {:.1f} A, and the limit is {:.1f} A", step.name, draw_amps_.si(),
                            envelopes_[step.frame].amps_max.si()),
                procedure_.file, "lower the current of the procedure"});
    }
  }

  void plan_charge(const Step& step, PlannedStep& planned) {
    const Volt volts(amount(step.volts));
    Ampere amps(amount(step.amps));
    if (request_.place.charger != nullptr) {
      if (const auto possible = can_charge(*request_.place.charger, volts); !possible)
        obstacle(possible.error());
      const Ampere limit = charge_limit(*request_.place.charger, volts, amps);
      if (limit < amps) {
        planned.limited = fmt::format("the charger here gives {} of the {}",
                                      amount_words(limit.si(), in_amps), amount_words(amps.si(), in_amps));
      }
      amps = limit;
    }
    if (step.watts && volts > Volt(0.0)) amps = std::min(amps, Watt(amount(step.watts)) / volts);
    if (!envelopes_.empty() && volts > envelopes_[step.frame].volts_max) {
      obstacle({Errc::refused,
                fmt::format("\"{}\" charges to {:.2f} V, and the limit is {:.2f} V", step.name, volts.si(),
                            envelopes_[step.frame].volts_max.si()),
                procedure_.file, "lower the charge voltage of the procedure"});
    }
    planned.given_max = amps * planned.longest;
    charge_volts_ = std::max(charge_volts_, volts);
  }

  void sum() {
    for (const PlannedStep& step : plan_.steps) {
      plan_.expected += step.expected;
      plan_.longest += step.longest * step.runs_max;
      plan_.drawn_max += step.drawn_max * step.runs_max;
      plan_.given_max += step.given_max * step.runs_max;
    }
    if (!envelopes_.empty()) {
      plan_.drawn_max = std::min(plan_.drawn_max, envelopes_.front().charge_max);
      plan_.given_max = std::min(plan_.given_max, envelopes_.front().charge_max);
      plan_.longest = std::min(plan_.longest, envelopes_.front().time_max);
    }
    plan_.drawn_energy_max = cell_rested * request_.nameplate.cells * plan_.drawn_max;
    plan_.given_energy_max = charge_volts_ * plan_.given_max;
  }

  const PlanRequest& request_;
  const Procedure& procedure_;
  Values values_;
  std::vector<Envelope> envelopes_;
  RunPlan plan_;
  Ampere draw_amps_{0.0};
  Volt charge_volts_{0.0};
};

}  // namespace

RunPlan plan_of(const PlanRequest& request) {
  return Planner(request).plan();
}

}  // namespace leadwright
