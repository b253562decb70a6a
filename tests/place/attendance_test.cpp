// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/attendance.h"

#include <gtest/gtest.h>

#include "daemon/place/label_values.h"

namespace leadwright {
namespace {

Nameplate flooded() {
  Nameplate plate;
  plate.chemistry = Chemistry::flooded;
  plate.cells = 6;
  return plate;
}

Procedure charge_to(const std::string& volts, bool attended = false) {
  const std::string text =
      "schema = 1\nname = \"x\"\nversion = 1\nwhat = \"x\"\nneeds = [\"charger\", "
      "\"thermometer\"]\n[[step]]\nname = \"c\"\ndo = \"charge\"\nwhat = \"x\"\namps = "
      "\"5 A\"\nvolts = \"" +
      volts + "\"\nat_most = \"1 h\"\n";
  auto read = read_procedure(text, "x.toml");
  EXPECT_TRUE(read) << read.error().front().line();
  if (!read) return {};
  read->attended = attended;
  return *read;
}

/// At a place with protection of its own, with a battery at 12.2 V and 25 degC.
std::string why(const Procedure& procedure, AttendanceFacts facts, double degc = 25.0) {
  if (!facts.volts) facts.volts = Volt(12.2);
  return why_attended(procedure, flooded(), label_values(flooded(), Celsius(degc)), facts);
}

constexpr AttendanceFacts own_protection{false, false, std::nullopt};
constexpr AttendanceFacts allowed{false, true, std::nullopt};

TEST(Attendance, a_charge_by_the_chemistry_needs_nobody_at_any_temperature) {
  for (const double degc : {5.0, 25.0, 40.0}) {
    EXPECT_EQ(why(charge_to("charge_volts"), own_protection, degc), "") << degc;
  }
}

TEST(Attendance, a_place_that_is_attended_only_is_so_whatever_a_policy_allows) {
  AttendanceFacts facts = allowed;
  facts.place_is_attended_only = true;
  EXPECT_EQ(why(charge_to("charge_volts"), facts), "the place is attended only");
}

TEST(Attendance, above_two_point_four_volts_a_cell_somebody_is_there) {
  EXPECT_EQ(why(charge_to("16 V"), own_protection), "a charge to 16.00 V, above 14.40 V, is attended");
  EXPECT_EQ(why(charge_to("14.4 V"), own_protection), "");
  EXPECT_NE(why(charge_to("14.4 V"), own_protection, 40.0), "") << "the limit falls with the temperature";
  EXPECT_EQ(why(charge_to("16 V"), allowed), "");
}

TEST(Attendance, the_first_charge_of_a_battery_far_down_is_attended) {
  AttendanceFacts facts = own_protection;
  facts.volts = Volt(10.49);
  EXPECT_NE(why(charge_to("charge_volts"), facts), "");
  facts.volts = Volt(10.51);
  EXPECT_EQ(why(charge_to("charge_volts"), facts), "");
  facts = allowed;
  facts.volts = Volt(9.0);
  EXPECT_EQ(why(charge_to("charge_volts"), facts), "");
}

TEST(Attendance, a_recovery_says_so_of_itself_and_a_policy_may_allow_it) {
  EXPECT_EQ(why(charge_to("charge_volts", true), own_protection), "the x is attended");
  EXPECT_EQ(why(charge_to("charge_volts", true), allowed), "");
}

}  // namespace
}  // namespace leadwright
