// SPDX-License-Identifier: Apache-2.0
// A policy file: criterion, thresholds, guard bands and dispositions for one kind of user. Every value stands
// in the file with its source or mark; config/policies has those that are shipped.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "daemon/grading/triage_rule.h"
#include "daemon/quantities/quantity.h"
#include "protocol/result.h"

namespace leadwright {

/// What a battery is measured against, by what its label states.
enum class CriterionKind {
  reserve_capacity,  ///< minutes against the label's minutes
  capacity_20h,   ///< Ah against the label's Ah; minutes against those derived from it, with a wider interval
  size,           ///< minutes against those that the policy gives to the label's size code
  half_cca_load,  ///< volts at 15 s under half the CCA
};

/// Whether the policy lets the bench empty a battery. A run asks for the consent; the grade says what was
/// missing.
enum class CompleteDischarge { yes, with_consent, never };

/// What becomes of a test whose meters are past their last day of calibration.
enum class OverdueMeters {
  widen,   ///< their limits of error count so many times as much, and the finding says so
  refuse,  ///< nothing is drawn with them
};
struct CalibrationRule {
  OverdueMeters overdue = OverdueMeters::widen;
  double widen_by = 2.0;  ///< M: no source says how a meter drifts past its interval
};

/// A free period, then a credit that falls in equal parts to nothing at `total`. In whole months of service.
struct WarrantyTerms {
  int free_months = 0;
  int total_months = 0;
};

/// What a battery is still good for from this share of its rating.
struct SecondLife {
  double share = 0.0;
  std::string words;
};

/// Names of the procedures that decide: the grade names them when they are missing.
struct PolicyProcedures {
  std::string capacity = "reserve capacity";
  std::string capacity_20h = "20-hour capacity";
  std::string high_rate = "half-CCA load test";
  std::string conditioning = "conditioning cycle";
  std::string charge = "standard charge";
};

/// Whether a battery keeps its charge, and when that is worth some days on a shelf (keeps_charge.h).
struct RetentionRule {
  double falls_most_mv_per_day = 15.0;  ///< at rest and 20 degC, of a block
  Second settles = hours(24.0);         ///< after the last charge, before anything counts
  Second stands = hours(20.0);          ///< between two looks
  Second stands_most = hours(72.0);     ///< looks go on so long while they do not decide
  double share = 0.01;                  ///< of all that comes in and would be kept, what discharges itself
  Volt flat_cell{2.083};                ///< at the first look: below came flat
  double came_flat = 2.0;  ///< among those that discharge themselves so many times as often as among others
  double came_charged = 0.2;     ///< the same of one that came charged
  Second wrong = hours(10.0);    ///< of people's time that a wrong "keep it" costs
  Second costs = minutes(10.0);  ///< of people's time that two looks cost
};

/// What is usual of starter batteries: told beside a letter, never a reason for one.
struct UsualBattery {
  int life_from_months = 0;  ///< after which they end; 0: nothing is said of an age
  int life_to_months = 0;
  /// Of a new one with its acid, by size code in capitals.
  std::map<std::string, double, std::less<>> weight_kg;
  double weight_lost = 0.04;         ///< share of it: one that lacks more lacks water
  double gravity_most = 1.300;       ///< of the acid: what is stronger has lost water
  Volt free_acid_rests_most{2.145};  ///< a cell of such acid, full and rested
};

struct Policy {
  std::string name;
  int version = 1;
  std::string file;
  std::string hash;
  /// In this order: the first that the label and the findings allow. A policy that says nothing: the first
  /// two.
  std::vector<CriterionKind> criteria{CriterionKind::reserve_capacity, CriterionKind::capacity_20h};
  /// Shares of the criterion from which a battery is A, B, C; below C it is D.
  double share_a = 1.0;
  double share_b = 0.8;
  double share_c = 0.6;
  double guard_factor = 1.645;  ///< guard band w = factor x u (JCGM 106); 1.645 is 5 % risk one-sided
  bool high_rate_draw_required = false;
  /// A load test that passes gives no letter where the label has a rating to compare minutes or Ah with and
  /// nobody measured them: it shows that a battery cranks, not how long it lasts.
  bool minutes_required = false;
  /// Missing: nobody looks for self-discharge.
  std::optional<RetentionRule> retention;
  /// Missing: tests follow each other in the order of the chain, whatever they cost.
  std::optional<TriageRule> triage;
  /// Recoveries, charges above 2.40 V a cell and first charges from below 1.75 V a cell may go on alone at
  /// places that are not attended only (daemon/place/attendance.h).
  bool unattended_hard_charges = false;
  /// A discharge may be stopped when it has lasted for A with the guard band, by measurement.
  bool early_reached = false;
  /// A discharge may be stopped when the forecast, with its margin, ends below C with the guard band.
  bool early_missed = false;
  double soc_min_to_test = 0.75;  ///< of a load test; a capacity test asks for a full battery (full_charge.h)
  CompleteDischarge complete_discharge = CompleteDischarge::yes;
  CalibrationRule calibration;
  /// A test that began outside these is not corrected but repeated; missing: any temperature is corrected.
  std::optional<Celsius> coldest;
  std::optional<Celsius> warmest;
  /// A battery that came in below this voltage a cell is not failed before one conditioning cycle; missing:
  /// it is.
  std::optional<Volt> deep_discharged_cell;
  /// A battery younger than this is not failed: it has not been formed to the end. In days; 0: no such rule.
  int youngest_days = 0;
  /// Share of its charge that a new battery still has after three months of standing; missing: not asked.
  std::optional<double> shelf_charge_left;
  /// Where batteries may stand; acid that freezes above it is pointed out. Missing: not asked.
  std::optional<Celsius> coldest_storage;
  /// An older one is no longer new. In months; 0: no such rule.
  int oldest_months = 0;
  std::map<std::string, Second, std::less<>> minutes_by_size;
  UsualBattery usual;
  std::optional<WarrantyTerms> warranty;
  std::vector<SecondLife> second_life;  ///< shares falling
  PolicyProcedures procedures;
  std::map<char, std::string> dispositions;  ///< by letter, in the policy's own words
  /// In place of a letter's: by "discharged", "too_young", "too_warm", "too_cold", "deep_discharged",
  /// "wrong", "unidentified", "no_consent".
  std::map<std::string, std::string, std::less<>> situations;
};

tl::expected<Policy, std::vector<Error>> read_policy(std::string_view text, const std::string& file);

/// As above, from a file; one that can't be read is one error.
tl::expected<Policy, std::vector<Error>> load_policy(const std::string& path);

}  // namespace leadwright
