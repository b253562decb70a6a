// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/reception.h"

#include <gmock/gmock.h>

namespace leadwright {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

Nameplate lead(double ah, const std::string& size = "", int cells = 6) {
  Nameplate plate;
  plate.chemistry = Chemistry::flooded;
  plate.cells = cells;
  plate.size_code = size;
  if (ah > 0.0) plate.c20 = Rating<Coulomb>{ampere_hours(ah), RatingStandard::en};
  return plate;
}

Inspection weighed(double kg) {
  Inspection seen;
  seen.weight_kg = kg;
  return seen;
}

WeightLimits limits() {
  return {0.18, {{"L3", 13.5}}};
}

Ahead ahead(PlaceKind kind, Second takes) {
  return {{"any", kind}, takes, {}};
}

TEST(Reception, takes_in_a_lead_battery_of_a_usual_weight_or_one_that_was_not_weighed) {
  EXPECT_EQ(reception_of(lead(60.0), weighed(15.0), limits()).state, TicketState::received);
  EXPECT_EQ(reception_of(lead(60.0), {}, limits()).state, TicketState::received);
  EXPECT_EQ(reception_of(lead(60.0), weighed(10.8), limits()).state, TicketState::received)
      << "just the limit";
}

TEST(Reception, holds_what_is_too_light_for_its_ampere_hours) {
  const Reception held = reception_of(lead(60.0), weighed(8.2), limits());
  EXPECT_EQ(held.state, TicketState::held);
  EXPECT_THAT(held.reason.text(),
              HasSubstr("8.2 kg is too light for 60 Ah at 12 V: a lead battery weighs 10.8 kg"));
  EXPECT_THAT(held.reason.text(), HasSubstr("may not be lead"));
}

TEST(Reception, expects_half_the_weight_of_three_cells) {
  EXPECT_EQ(reception_of(lead(100.0, "", 3), weighed(9.1), limits()).state, TicketState::received);
  EXPECT_EQ(reception_of(lead(100.0, "", 3), weighed(8.9), limits()).state, TicketState::held);
}

TEST(Reception, asks_the_size_first_however_it_is_written) {
  const Reception held = reception_of(lead(60.0, "l3"), weighed(13.0), limits());
  EXPECT_EQ(held.state, TicketState::held);
  EXPECT_THAT(held.reason.text(),
              HasSubstr("13.0 kg is too light for the size l3: a lead battery weighs 13.5 kg"));
  EXPECT_EQ(reception_of(lead(0.0, "L3"), weighed(13.6), limits()).state, TicketState::received);
}

TEST(Reception, holds_nothing_that_it_knows_no_weight_for) {
  EXPECT_EQ(reception_of(lead(0.0, "X9"), weighed(2.0), limits()).state, TicketState::received);
  EXPECT_EQ(reception_of(lead(60.0), weighed(2.0), {0.0, {}}).state, TicketState::received);
}

TEST(Reception, refuses_what_is_dangerous_or_no_lead_whatever_it_weighs) {
  Inspection swollen = weighed(15.0);
  swollen.swollen = true;
  EXPECT_EQ(reception_of(lead(60.0), swollen, limits()).state, TicketState::refused);
  Nameplate lithium = lead(60.0);
  lithium.chemistry = Chemistry::lithium;
  const Reception refused = reception_of(lithium, weighed(2.0), limits());
  EXPECT_EQ(refused.state, TicketState::refused);
  EXPECT_THAT(refused.reason.text(), HasSubstr("never energised"));
}

TEST(Reception, says_what_must_be_done_before_a_charge) {
  EXPECT_THAT(advice_on({}), IsEmpty());
  Inspection seen;
  seen.electrolyte_low = true;
  seen.vents_blocked = true;
  seen.terminals_corroded = true;
  seen.label_unreadable = true;
  EXPECT_THAT(advice_on(seen),
              ElementsAre(HasSubstr("distilled water"), HasSubstr("clear them before any charge"),
                          HasSubstr("clean them"), HasSubstr("make sure of its chemistry")));
}

TEST(Promise, is_the_batterys_own_time_where_nothing_waits) {
  const std::vector<Ahead> outlook{ahead(PlaceKind::bay, hours(2.0)),
                                   ahead(PlaceKind::charging, hours(10.0))};
  EXPECT_EQ(*expected_stay(outlook, {0, 1, 1}), hours(12.0));
}

TEST(Promise, waits_for_the_kind_of_place_that_is_scarcer) {
  const std::vector<Ahead> outlook{ahead(PlaceKind::bay, hours(2.0)),
                                   ahead(PlaceKind::charging, hours(10.0))};
  // Four before it: 8 h at one bay, 10 h at four charging places.
  EXPECT_EQ(*expected_stay(outlook, {4, 1, 4}), hours(22.0));
  EXPECT_EQ(*expected_stay(outlook, {4, 2, 4}), hours(22.0));
  EXPECT_EQ(*expected_stay(outlook, {8, 1, 8}), hours(28.0));
}

TEST(Promise, lets_bays_charge_where_there_is_no_charging_place) {
  const std::vector<Ahead> outlook{ahead(PlaceKind::bay, hours(2.0)),
                                   ahead(PlaceKind::charging, hours(10.0))};
  EXPECT_EQ(*expected_stay(outlook, {2, 2, 0}), hours(24.0));
}

TEST(Promise, is_not_made_where_no_place_can_do_some_of_it_or_nothing_is_to_be_done) {
  EXPECT_FALSE(
      expected_stay({ahead(PlaceKind::bay, hours(2.0)), ahead(PlaceKind::bay, Second(0.0))}, {0, 1, 1}));
  EXPECT_FALSE(expected_stay({}, {0, 1, 1}));
}

TEST(Promise, is_for_a_full_half_hour) {
  const Utc nine = *Utc::parse("2026-03-02T09:00:00Z");
  EXPECT_EQ(promise_after(nine, hours(1.0)).rfc3339(), "2026-03-02T10:00:00Z");
  EXPECT_EQ(promise_after(nine, hours(1.0) + Second(1.0)).rfc3339(), "2026-03-02T10:30:00Z");
}

}  // namespace
}  // namespace leadwright
