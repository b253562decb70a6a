// SPDX-License-Identifier: Apache-2.0
// What a grade is made from: everything that is known of one visit of one battery, and the questions that
// rules ask of it. Pure; any thread. Read next: policy.h, grade.h.
#pragma once

#include <cstddef>
#include <optional>
#include <string_view>
#include <vector>

#include "daemon/battery/ticket.h"
#include "daemon/grading/policy.h"

namespace leadwright {

struct Evidence {
  Nameplate nameplate;
  Inspection inspection;
  std::vector<Finding> findings;  ///< of complete runs of this ticket only
  std::vector<Fault> faults;
  Story story = {};
  std::vector<Run> runs = {};         ///< of this ticket, in order of start
  std::optional<Utc> judged_at = {};  ///< ages are counted to this; missing: none is known
  bool receipt_seen_before = false;   ///< an earlier ticket of another battery has the same receipt
  std::optional<double> earlier_weight_kg = {};  ///< as put on a scale at an earlier visit
};

/// The newest one, or null; of two at the same moment that of the later run.
const Finding* newest(const Evidence& evidence, Measurand measurand);

/// The finding of this measurand that the same run stated, or null.
const Finding* of_same_run(const Evidence& evidence, Measurand measurand, const Finding& other);

/// The state of charge that a test began with: the newest one before it, unless energy flowed in between.
const Finding* charge_before(const Evidence& evidence, const Finding& test);

/// Whether a run of this procedure was completed before the test.
bool has_completed(const Evidence& evidence, std::string_view procedure, const Finding& test);

/// The last run of this procedure that was completed; zero if none was.
RunId last_completed(const Evidence& evidence, std::string_view procedure);

/// Result of one test, or the mean of its repeats, in the findings' unit.
struct TestResult {
  const Finding* newest = nullptr;
  std::size_t count = 1;
  double value = 0.0;
  double u = 0.0;           ///< standard uncertainty of value
  double u_repeated = 0.0;  ///< what u would be after one more test
};

/// Of the newest test and those before it that agree with it and began with a full battery, since the last
/// complete conditioning cycle (which makes another battery of it). What meters and corrections leave open is
/// common to all and stays; the battery's own run-to-run spread shrinks with the number of tests. Two agree
/// within two standard deviations of a difference of two such spreads: else the battery has changed, and the
/// newest counts alone. Missing if there is none.
std::optional<TestResult> mean_of_tests(const Evidence& evidence, Measurand measurand,
                                        const PolicyProcedures& named);

}  // namespace leadwright
