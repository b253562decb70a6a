// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/recall.h"

#include <gtest/gtest.h>

#include "daemon/queue/calibration.h"
#include "tests/queue/judged_ticket.h"

namespace leadwright {
namespace {

const UsedInstrument doubted_load{"bay-1.load", "MAKER LOAD 4711", "2026-03-01", false};

Run run_with(int id, const UsedInstrument& used, const char* began) {
  Run run;
  run.id = RunId{id};
  run.procedure = "reserve capacity";
  run.outcome = RunOutcome::complete;
  run.started_at = *Utc::parse(began);
  run.instruments = {used};
  return run;
}

/// Rated 100 min; 90 min by each of these runs, each after a charge; B.
void add_judged(Ledger& ledger, const std::vector<Run>& runs) {
  TicketFile& file = add_judged_ticket(ledger, 'B');
  for (const Run& run : runs) {
    Run charge = file.runs.front();
    charge.id = RunId{static_cast<std::int64_t>(run.id) - 1};
    file.runs.push_back(std::move(charge));
    file.runs.push_back(run);
    file.findings.push_back(minutes_found(90.0, run.id));
  }
}

class RecallTest : public testing::Test {
 protected:
  RecallTest() {
    const UsedInstrument other{"bay-2.load", "MAKER LOAD 4712", "", false};
    add_judged(ledger, {run_with(1, doubted_load, "2026-03-10")});
    add_judged(ledger, {run_with(2, other, "2026-03-10")});
    add_judged(ledger, {run_with(3, doubted_load, "2026-03-11"), run_with(5, other, "2026-03-12")});
    ledger.add({}, {});  // never graded
  }
  std::vector<Recalled> recall(const Suspect& suspect) const { return recalled(ledger, Policy{}, suspect); }

  Ledger ledger;
};

TEST_F(RecallTest, finds_the_grades_that_rest_on_the_instrument_and_grades_by_what_is_left) {
  const auto all = recall({"4711"});
  ASSERT_EQ(all.size(), 2U);
  EXPECT_EQ(all[0].runs, std::vector<RunId>{RunId{1}});
  EXPECT_EQ(all[0].without.letter, 'U') << "nothing is left";
  EXPECT_EQ(all[0].without.next_procedure, "reserve capacity");
  EXPECT_EQ(all[1].runs, std::vector<RunId>{RunId{3}});
  EXPECT_EQ(all[1].without.letter, 'B') << "another instrument found the same";
  EXPECT_EQ(all[0].file->grade->letter, 'B') << "the stored grade stays";
}

TEST_F(RecallTest, knows_an_instrument_by_its_wiring_and_by_all_that_it_says_of_itself) {
  EXPECT_EQ(recall({"bay-1.load"}).size(), 2U);
  EXPECT_EQ(recall({"MAKER LOAD 4711"}).size(), 2U);
  EXPECT_TRUE(recall({"711"}).empty()) << "part of a serial number is another instrument";
  EXPECT_TRUE(recall({""}).empty());
}

TEST_F(RecallTest, keeps_to_the_time_in_which_the_instrument_is_in_doubt) {
  EXPECT_EQ(recall({"4711", Utc::parse("2026-03-11")}).size(), 1U);
  EXPECT_EQ(recall({"4711", {}, Utc::parse("2026-03-10T23:00:00Z")}).size(), 1U);
  EXPECT_TRUE(recall({"4711", Utc::parse("2026-03-12")}).empty());
}

TEST(Calibration, of_one_overdue_instrument_widens_all_that_the_run_measures) {
  UsedInstrument overdue = doubted_load;
  overdue.calibration_overdue = true;
  const CalibrationRule rule{OverdueMeters::widen, 2.5};
  EXPECT_EQ(meters_widened_by({doubted_load, overdue}, rule), 2.5);
  EXPECT_EQ(meters_widened_by({doubted_load}, rule), 1.0);
}

}  // namespace
}  // namespace leadwright
