// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/ledger.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

StoredBench two_visits() {
  StoredBench stored;
  stored.batteries.push_back({BatteryId{1}, "S-1", {}});
  Ticket first;
  first.id = TicketId{1};
  first.battery = BatteryId{1};
  first.state = TicketState::closed;
  first.place = "bay-1";
  Ticket second = first;
  second.id = TicketId{2};
  second.state = TicketState::waiting;
  stored.tickets = {first, second};
  Finding finding;
  finding.ticket = TicketId{2};
  finding.value = 12.1;
  stored.findings.push_back(finding);
  finding.value = 12.6;
  stored.findings.push_back(finding);
  stored.last_battery = 1;
  stored.last_ticket = 2;
  stored.last_run = 9;
  return stored;
}

TEST(Ledger, takes_up_where_the_store_left_off) {
  Ledger ledger;
  ledger.load(two_visits());
  EXPECT_EQ(ledger.next_ticket(), TicketId{3});
  EXPECT_EQ(ledger.next_battery(), BatteryId{2});
  EXPECT_EQ(ledger.next_run(), RunId{10});
  ASSERT_NE(ledger.battery_of_serial("S-1"), nullptr);
  EXPECT_EQ(ledger.newest_of(BatteryId{1})->ticket.id, TicketId{2});
}

TEST(Ledger, a_closed_ticket_no_longer_stands_anywhere) {
  Ledger ledger;
  ledger.load(two_visits());
  ASSERT_NE(ledger.at_place("bay-1"), nullptr);
  EXPECT_EQ(ledger.at_place("bay-1")->ticket.id, TicketId{2});
  EXPECT_EQ(ledger.at_place("bay-2"), nullptr);
}

TEST(Ledger, the_newest_finding_of_a_measurand_counts) {
  Ledger ledger;
  ledger.load(two_visits());
  const TicketFile* file = ledger.find(TicketId{2});
  ASSERT_NE(file, nullptr);
  EXPECT_EQ(file->newest(Measurand::ocv)->value, 12.6);
  EXPECT_EQ(file->newest(Measurand::soc), nullptr);
}

TEST(Ledger, finds_a_ticket_by_its_shown_number_and_not_by_a_wrong_check_digit) {
  Ledger ledger;
  ledger.load(two_visits());
  const std::string right = shown(TicketId{2});
  EXPECT_NE(ledger.find_shown(right), nullptr);
  std::string wrong = right;
  wrong.back() = wrong.back() == '1' ? '2' : '1';
  EXPECT_EQ(ledger.find_shown(wrong), nullptr);
}

}  // namespace
}  // namespace leadwright
