// SPDX-License-Identifier: Apache-2.0
// What many rehearsed returns say of a policy: errors conditional on the truth with their intervals, what a
// verdict costs, and how acceptance turns over at the limit. Pure; any thread. Read next: report.h.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "daemon/grading/policy.h"
#include "daemon/grading/statistics.h"
#include "tools/returns/queue_replay.h"
#include "tools/returns/rehearsal.h"

namespace leadwright {

enum class Verdict { accepted, rejected, undecided };
const char* word(Verdict verdict);

/// Where the line is drawn.
struct AcceptanceLine {
  char accepted_from = 'C';  ///< the poorest letter that is accepted
  double share = 0.6;        ///< of the rating, which belongs to that letter
};
AcceptanceLine line_of(const Policy& policy, char accepted_from);

Verdict verdict_of(const ReturnVisit& visit, const AcceptanceLine& line);

struct Count {
  int hits = 0;
  int trials = 0;
  /// 95 % on both sides.
  ShareInterval interval() const;
  double share() const { return trials == 0 ? 0.0 : static_cast<double>(hits) / trials; }
};

/// Means over some visits.
struct Costs {
  int visits = 0;
  Second hands_on;
  Second to_verdict;
  Second to_leaving;  ///< of those that left
  Second bay;         ///< clamped on
  Second charging_place;
  Second bay_runs;  ///< of it, what runs took
  Second charging_runs;
  Joule drawn;
  Joule charged;
  Count same_day;
};
Costs costs_of(const std::vector<const ReturnVisit*>& visits, const std::vector<Second>& arrivals,
               Second closes);

/// Batteries of one kind that got the same verdict.
struct CostRow {
  std::string kind;
  bool is_good = false;
  Verdict verdict = Verdict::undecided;
  Costs costs;
};

/// Batteries that lie so far from a limit; `least` belongs to it. In shares of the limit, or in volts.
struct CurveBin {
  double least = 0.0;
  double most = 0.0;
  int accepted = 0;
  int rejected = 0;
  int undecided = 0;
};

/// A verdict against the truth.
struct WrongVerdict {
  int number = 0;  ///< of the return
  std::string kind;
  Verdict verdict = Verdict::accepted;
};

struct Summary {
  AcceptanceLine line;
  bool asks_consent = false;  ///< the policy lets the owner say no to a complete discharge
  int count = 0;
  Count false_accepts;       ///< of the truly bad
  Count false_rejects;       ///< of the truly good
  Count near_false_accepts;  ///< of those so near to a limit that no bench could be blamed
  Count near_false_rejects;
  /// The same two by the minutes that a battery would give if it could be filled.
  Count false_accepts_if_filled;
  Count false_rejects_if_filled;
  Count undecided;                  ///< of all
  Count undecided_without_consent;  ///< of all, those whose owner did not agree to a complete discharge
  std::map<std::string, Count> false_accepts_by_kind;
  std::map<std::string, Count> false_rejects_by_kind;
  std::map<std::string, Count> undecided_by_kind;
  std::vector<WrongVerdict> wrong;  ///< by number
  std::vector<CostRow> rows;        ///< by kind, truth and verdict
  Costs all;
  Costs full;  ///< the full sequence on the same batteries; nothing if it was left out
  Count full_undecided;
  std::vector<CurveBin> curve;  ///< by minutes, in shares of the limit, where nothing else can make it bad
  std::vector<CurveBin> load_curve;       ///< by volts under half the CCA, likewise
  std::map<std::string, int> unfinished;  ///< reasons, digits left out, and how often
  std::vector<QueueLength> queue;
};

Summary summarise(const std::vector<RehearsedReturn>& all, const Policy& policy, char accepted_from,
                  const ReturnsMix& mix);

}  // namespace leadwright
