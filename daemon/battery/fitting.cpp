// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/fitting.h"

#include <algorithm>
#include <array>

#include "daemon/battery/age.h"
#include "daemon/battery/faults.h"
#include "daemon/battery/new_battery.h"
#include "daemon/battery/ocv.h"
#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

/// M: a voltmeter of class 0.5 reads a battery within +- 0.04 V (IEC 60095-1, measuring instruments).
constexpr Volt meter_half_width{0.04};
/// F, two makers: after so long at rest a voltage says how full it is.
constexpr Second long_rest = hours(8.0);
/// P: a monitor that was told of the change reports a battery of today or of yesterday.
constexpr Second monitor_age_max = hours(48.0);
/// P: a charging system holds 12 V batteries between these while the engine runs. Smart charging goes below.
constexpr Volt running_cell_low{2.20};
constexpr Volt running_cell_high{2.50};
/// P: more than this, with everything asleep, is looked for.
constexpr Ampere drain_usual_max{0.05};

FitOutcome same_text(const std::string& battery, const std::string& vehicle) {
  if (battery.empty() || vehicle.empty()) return FitOutcome::not_checked;
  return battery == vehicle ? FitOutcome::fits : FitOutcome::differs;
}

FitOutcome same_voltage(int battery, int vehicle) {
  if (battery == 0 || vehicle == 0) return FitOutcome::not_checked;
  return battery == vehicle ? FitOutcome::fits : FitOutcome::differs;
}

/// P: EFB is replaced by EFB or AGM, AGM by AGM, flooded by flooded or EFB. A gel battery has limits of its
/// own, and whether AGM may stand where flooded was is a question to the vehicle's maker.
FitOutcome same_chemistry(Chemistry battery, Chemistry vehicle) {
  if (battery == Chemistry::lithium || battery == Chemistry::other) return FitOutcome::not_lead;
  if (battery == Chemistry::unknown || battery == Chemistry::lead) return FitOutcome::not_checked;
  if (vehicle == Chemistry::lead || !is_lead(vehicle)) return FitOutcome::not_checked;
  if (battery == vehicle) return FitOutcome::fits;
  if (vehicle == Chemistry::efb && battery == Chemistry::agm) return FitOutcome::fits;
  if (vehicle == Chemistry::flooded && battery == Chemistry::efb) return FitOutcome::fits;
  if (vehicle == Chemistry::flooded && battery == Chemistry::agm) return FitOutcome::not_checked;
  return FitOutcome::differs;
}

template <class T>
FitOutcome enough(const std::optional<Rating<T>>& battery, const std::optional<Rating<T>>& vehicle) {
  if (!battery || !vehicle) return FitOutcome::not_checked;
  const bool is_one = battery->standard == vehicle->standard && battery->standard != RatingStandard::unknown;
  if (!is_one) return FitOutcome::other_standard;
  return battery->value >= vehicle->value ? FitOutcome::fits : FitOutcome::less;
}

/// 20 hours are 20 hours in every standard.
FitOutcome enough_c20(const Nameplate& battery, const Nameplate& vehicle) {
  if (!battery.c20 || !vehicle.c20) return FitOutcome::not_checked;
  return battery.c20->value >= vehicle.c20->value ? FitOutcome::fits : FitOutcome::less;
}

std::optional<Finding> soc_of(const MeterReading& reading, const Nameplate& nameplate) {
  if (!reading.stood || *reading.stood < long_rest) return std::nullopt;
  const auto share =
      state_of_charge(nameplate, {reading.volts, rectangular(meter_half_width), reading.battery});
  if (!share) return std::nullopt;
  Finding finding;
  finding.measurand = Measurand::soc;
  finding.value = share->share;
  finding.u = share->u;
  return finding;
}

bool forbids(const FitRow& row) {
  return row.outcome == FitOutcome::differs || row.outcome == FitOutcome::less ||
         row.outcome == FitOutcome::not_lead;
}

FittingVerdict verdict_of(const FittingQuestion& question, const FittingAnswer& answer, double soc_min) {
  if (std::ranges::any_of(answer.fit, forbids)) return FittingVerdict::do_not_fit;
  const auto& reading = question.reading;
  const int cells = question.battery.nameplate.cells;
  const bool is_odd = !question.soc && reading && fault_at_rest(reading->volts, cells);
  if (is_odd) return FittingVerdict::test_first;
  if (!answer.soc) return reading ? FittingVerdict::rest_first : FittingVerdict::measure_first;
  // Below the foot of the table it may lack a cell as well as charge.
  if (answer.soc->value <= 0.0) return FittingVerdict::test_first;
  return answer.soc->value < soc_min ? FittingVerdict::charge_first : FittingVerdict::may_be_fitted;
}

}  // namespace

const char* word(FitOf of) {
  constexpr std::array words{"voltage", "chemistry", "size_code",        "plus_at",
                             "post",    "cca",       "reserve_capacity", "c20"};
  return words[static_cast<std::size_t>(of)];
}

const char* word(FitOutcome outcome) {
  constexpr std::array words{"fits", "differs", "less", "other_standard", "not_lead", "not_checked"};
  return words[static_cast<std::size_t>(outcome)];
}

const char* word(FittingVerdict verdict) {
  constexpr std::array words{"may_be_fitted", "charge_first", "do_not_fit",
                             "test_first",    "rest_first",   "measure_first"};
  return words[static_cast<std::size_t>(verdict)];
}

const char* word(MonitorSays says) {
  return says == MonitorSays::took_it ? "took_it" : "keeps_the_old";
}

const char* word(RunningSays says) {
  constexpr std::array words{"usual", "low", "high"};
  return words[static_cast<std::size_t>(says)];
}

const char* word(DrainSays says) {
  return says == DrainSays::usual ? "usual" : "high";
}

std::vector<FitRow> fit_rows(const FitSide& battery, const FitSide& vehicle) {
  const Nameplate& has = battery.nameplate;
  const Nameplate& asks = vehicle.nameplate;
  return {{FitOf::voltage, same_voltage(has.cells, asks.cells)},
          {FitOf::chemistry, same_chemistry(has.chemistry, asks.chemistry)},
          {FitOf::size_code, same_text(has.size_code, asks.size_code)},
          {FitOf::plus_at, same_text(battery.plus_at, vehicle.plus_at)},
          {FitOf::post, same_text(battery.post, vehicle.post)},
          {FitOf::cca, enough(has.cca, asks.cca)},
          {FitOf::reserve_capacity, enough(has.reserve_capacity, asks.reserve_capacity)},
          {FitOf::c20, enough_c20(has, asks)}};
}

std::vector<FitRow> layout_rows(const Nameplate& nameplate, const Inspection& seen) {
  return {{FitOf::size_code, same_text(nameplate.size_code, seen.vehicle_size_code)},
          {FitOf::plus_at, same_text(seen.plus_at, seen.vehicle_plus_at)},
          {FitOf::post, same_text(seen.post, seen.vehicle_post)}};
}

FittingAnswer fitting_answer(const FittingQuestion& question, const FittingRules& rules, Utc today) {
  const Nameplate& nameplate = question.battery.nameplate;
  FittingAnswer answer;
  answer.fit = fit_rows(question.battery, question.vehicle);
  answer.made = nameplate.manufactured_on;
  answer.months = months_since(nameplate.manufactured_on, today);
  if (answer.months && *answer.months < 0) answer.months.reset();
  answer.is_old = answer.months && *answer.months > rules.oldest_months;
  answer.soc = question.soc;
  if (!answer.soc && question.reading) answer.soc = soc_of(*question.reading, nameplate);
  if (answer.soc && answer.soc->value > 0.0) answer.needed = charge_needed(*answer.soc, nameplate);
  if (answer.needed && question.charger && *question.charger > Ampere(0.0))
    answer.charging = ampere_hours(answer.needed->value) / *question.charger;
  answer.verdict = verdict_of(question, answer, rules.soc_min);
  return answer;
}

AfterAnswer after_answer(const AfterFitting& after, const Nameplate& nameplate, const FittingAnswer& before) {
  AfterAnswer answer;
  if (after.monitor_age) {
    const bool is_new = *after.monitor_age <= monitor_age_max;
    answer.monitor = is_new ? MonitorSays::took_it : MonitorSays::keeps_the_old;
  }
  if (after.monitor_soc && before.soc) answer.soc_apart = *after.monitor_soc - before.soc->value;
  if (after.running && nameplate.cells > 0) {
    const Volt cell = *after.running / nameplate.cells;
    answer.running = cell < running_cell_low    ? RunningSays::low
                     : cell > running_cell_high ? RunningSays::high
                                                : RunningSays::usual;
  }
  if (after.drain) {
    answer.drain = *after.drain > drain_usual_max ? DrainSays::high : DrainSays::usual;
    if (nameplate.c20 && *after.drain > Ampere(0.0))
      answer.half_empty = 0.5 * nameplate.c20->value / *after.drain;
  }
  return answer;
}

}  // namespace leadwright
