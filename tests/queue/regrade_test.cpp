// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/regrade.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

/// Rated 100 min, 90 min measured, u 1 min.
void add_graded(Ledger& ledger, char letter, const char* receipt) {
  Battery battery;
  battery.id = ledger.next_battery();
  battery.serial = shown(battery.id);
  battery.nameplate.chemistry = Chemistry::flooded;
  battery.nameplate.cells = 6;
  battery.nameplate.reserve_capacity = Rating<Second>{minutes(100.0), RatingStandard::en};
  Ticket ticket;
  ticket.id = ledger.next_ticket();
  ticket.battery = battery.id;
  ticket.story.receipt = receipt;
  TicketFile& file = ledger.add(std::move(battery), std::move(ticket));
  Finding minutes_found;
  minutes_found.measurand = Measurand::reserve_capacity_ref;
  minutes_found.value = 90.0;
  minutes_found.u = 1.0;
  file.findings.push_back(std::move(minutes_found));
  file.grade.emplace().letter = letter;
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
