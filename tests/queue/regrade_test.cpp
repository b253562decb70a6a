// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/regrade.h"

#include <gtest/gtest.h>

#include "tests/queue/judged_ticket.h"

namespace leadwright {
namespace {

/// Rated 100 min, 90 min measured, u 1 min.
void add_graded(Ledger& ledger, char letter, const char* receipt) {
  TicketFile& file = add_judged_ticket(ledger, letter);
  file.ticket.story.receipt = receipt;
  file.findings.push_back(minutes_found(90.0));
}

TEST(Regrading, shows_what_changes_and_leaves_the_stored_grades_alone) {
  Ledger ledger;
  add_graded(ledger, 'B', "");
  add_graded(ledger, 'A', "");
  Ticket ungraded;
  ungraded.id = ledger.next_ticket();
  ledger.add({}, ungraded);
  const auto all = regraded(ledger, Policy{});
  ASSERT_EQ(all.size(), 2U) << "a ticket without a grade has nothing to change";
  EXPECT_FALSE(all[0].changes());
  EXPECT_TRUE(all[1].changes());
  EXPECT_EQ(all[1].now.letter, 'B');
  EXPECT_EQ(all[1].file->grade->letter, 'A');
}

TEST(Evidence, knows_a_receipt_that_an_earlier_ticket_of_another_battery_showed) {
  Ledger ledger;
  add_graded(ledger, 'B', "4711");
  add_graded(ledger, 'B', "4711");
  add_graded(ledger, 'B', "");
  const auto seen = [&ledger](int ticket) {
    return evidence_of(*ledger.find(TicketId{ticket}), ledger, Utc()).receipt_seen_before;
  };
  EXPECT_FALSE(seen(1));
  EXPECT_TRUE(seen(2));
  EXPECT_FALSE(seen(3)) << "no receipt is no receipt used twice";
}

}  // namespace
}  // namespace leadwright
