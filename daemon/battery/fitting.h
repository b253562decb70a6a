// SPDX-License-Identifier: Apache-2.0
// Whether a new battery may go into a vehicle: by its label, its age and its charge, and what the vehicle
// shows afterwards. Codes and numbers, of which faces make sentences; what was not stated is "not checked",
// never "fits". Pure; any thread. Marks of the numbers stand beside them in fitting.cpp.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "daemon/battery/nameplate.h"
#include "daemon/battery/ticket.h"
#include "daemon/clock/instant.h"

namespace leadwright {

enum class FitOf { voltage, chemistry, size_code, plus_at, post, cca, reserve_capacity, c20 };
const char* word(FitOf of);

enum class FitOutcome {
  fits,
  differs,
  less,            ///< than the vehicle asks for
  other_standard,  ///< the two ratings are not stated in one known standard
  not_lead,
  not_checked,
};
const char* word(FitOutcome outcome);

/// What is compared: of the battery, or as the vehicle asks for it. Missing: cells 0, chemistry unknown,
/// empty.
struct FitSide {
  Nameplate nameplate;
  std::string plus_at;  ///< "left" or "right", seen from the side where the posts are
  std::string post;     ///< kind of its posts
};

struct FitRow {
  FitOf of;
  FitOutcome outcome;
};

/// One row for each FitOf, in its order.
std::vector<FitRow> fit_rows(const FitSide& battery, const FitSide& vehicle);

/// Of size code, plus post and kind of posts, as the inspection has them beside what the vehicle asks for.
std::vector<FitRow> layout_rows(const Nameplate& nameplate, const Inspection& seen);

/// By a handheld voltmeter.
struct MeterReading {
  Volt volts;
  std::optional<Celsius> battery;
  std::optional<Second> stood;  ///< since it was charged or driven; missing if nobody knows
};

enum class FittingVerdict { may_be_fitted, charge_first, do_not_fit, test_first, rest_first, measure_first };
const char* word(FittingVerdict verdict);

struct FittingRules {
  double soc_min = 0.75;  ///< less is charged before it is fitted
  int oldest_months = 6;  ///< an older one is no longer new
};

struct FittingQuestion {
  FitSide battery;
  FitSide vehicle;
  std::optional<MeterReading> reading;
  std::optional<Finding> soc;     ///< measured at a place; comes before the reading
  std::optional<Ampere> charger;  ///< what it charges with
};

struct FittingAnswer {
  std::vector<FitRow> fit;
  std::string made;           ///< "2024-03" or "2024-03-15"; empty if the label has no date
  std::optional<int> months;  ///< of age; missing if the label has no date, or one in the future
  bool is_old = false;
  std::optional<Finding> soc;      ///< missing where nothing rested was read
  std::optional<Finding> needed;   ///< Ah to full; missing without a rated capacity
  std::optional<Second> charging;  ///< at the charger's amps, without the slow end
  FittingVerdict verdict = FittingVerdict::measure_first;
};

FittingAnswer fitting_answer(const FittingQuestion& question, const FittingRules& rules, Utc today);

/// What was read in the vehicle after the fitting.
struct AfterFitting {
  std::optional<Second> monitor_age;  ///< that the battery monitor reports
  std::optional<double> monitor_soc;  ///< share that it reports, 0..1
  std::optional<Volt> running;        ///< at the posts, engine running
  std::optional<Ampere> drain;        ///< everything off and asleep
};

enum class MonitorSays { took_it, keeps_the_old };
enum class RunningSays { usual, low, high };
enum class DrainSays { usual, high };
const char* word(MonitorSays says);
const char* word(RunningSays says);
const char* word(DrainSays says);

struct AfterAnswer {
  std::optional<MonitorSays> monitor;
  std::optional<double> soc_apart;  ///< the monitor's share less ours
  std::optional<RunningSays> running;
  std::optional<DrainSays> drain;
  std::optional<Second> half_empty;  ///< the drain empties half of a full battery in this time
};

AfterAnswer after_answer(const AfterFitting& after, const Nameplate& nameplate, const FittingAnswer& before);

}  // namespace leadwright
