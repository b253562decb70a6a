// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/nameplate.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace leadwright {
namespace {

Nameplate plausible() {
  Nameplate nameplate;
  nameplate.chemistry = Chemistry::flooded;
  nameplate.cells = 6;
  nameplate.cca = Rating<Ampere>{Ampere(640.0), RatingStandard::en};
  nameplate.reserve_capacity = Rating<Second>{minutes(110.0), RatingStandard::sae};
  nameplate.c20 = Rating<Coulomb>{ampere_hours(70.0), RatingStandard::en};
  nameplate.manufactured_on = "2024-02-29";
  return nameplate;
}

TEST(Nameplate, finds_nothing_wrong_with_a_common_label) {
  EXPECT_TRUE(implausible(plausible()).empty());
}

TEST(Nameplate, reports_every_impossible_rating_at_once) {
  Nameplate nameplate = plausible();
  nameplate.cells = 12;
  nameplate.cca->value = Ampere(20.0);
  nameplate.reserve_capacity->value = minutes(6000.0);
  nameplate.c20->value = ampere_hours(700.0);
  nameplate.manufactured_on = "yesterday";
  const auto errors = implausible(nameplate);
  ASSERT_EQ(errors.size(), 5U);
  EXPECT_EQ(errors[0].where, "cells");
  EXPECT_EQ(errors[1].where, "cca");
  EXPECT_EQ(errors[2].where, "reserve_capacity");
  EXPECT_EQ(errors[3].where, "c20");
  EXPECT_EQ(errors[4].where, "manufactured_on");
  EXPECT_TRUE(
      std::all_of(errors.begin(), errors.end(), [](const Error& error) { return !error.mend.empty(); }));
}

TEST(Nameplate, refuses_dates_that_no_calendar_has) {
  for (const char* date :
       {"2023-02-29", "2024-13", "2024-00-01", "24-01-01", "2024/01", "2024-1", "-024-01", "2024-04-31"}) {
    Nameplate nameplate = plausible();
    nameplate.manufactured_on = date;
    EXPECT_EQ(implausible(nameplate).size(), 1U) << date;
  }
}

TEST(Nameplate, reads_back_every_word_it_writes) {
  for (const auto chemistry : {Chemistry::flooded, Chemistry::efb, Chemistry::agm, Chemistry::gel,
                               Chemistry::lead, Chemistry::lithium, Chemistry::other, Chemistry::unknown}) {
    EXPECT_EQ(chemistry_of(word(chemistry)), chemistry);
  }
  for (const auto standard : {RatingStandard::sae, RatingStandard::en, RatingStandard::iec,
                              RatingStandard::jis, RatingStandard::gb, RatingStandard::unknown}) {
    EXPECT_EQ(rating_standard_of(word(standard)), standard);
  }
  EXPECT_FALSE(chemistry_of("Flooded"));
  EXPECT_FALSE(rating_standard_of(""));
}

// shared domain notes, section 0: SAE 26.7 degC, JIS, GB (F), EN and IEC (M) 25 degC.
TEST(Nameplate, refers_sae_ratings_to_80_fahrenheit_and_all_others_to_25_celsius) {
  EXPECT_NEAR(reference_temperature(RatingStandard::sae).fahrenheit(), 80.0, 0.1);
  EXPECT_EQ(reference_temperature(RatingStandard::en), Celsius(25.0));
  EXPECT_EQ(reference_temperature(RatingStandard::unknown), Celsius(25.0));
}

}  // namespace
}  // namespace leadwright
