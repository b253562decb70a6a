// SPDX-License-Identifier: Apache-2.0
#include "tools/client/instrument/profile_words.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "sim_lines.h"

namespace leadwright {
namespace {

using testing::AllOf;
using testing::Contains;
using testing::Each;
using testing::HasSubstr;
using testing::Not;

TEST(ProfileWords, tell_what_a_load_can_do_with_ranges_and_read_back) {
  const ProfileAccount account = account_of(shipped_profile("simulated_load"));
  EXPECT_EQ(account.title, "simulated load: a load, over serial or tcp or memory");
  EXPECT_THAT(
      account.can,
      AllOf(Contains(
                HasSubstr("draw a current (set_amps): 0 to 100 A, 3 decimals, read back by CURR? to within "
                          "0.002 A; the measured current follows to within 0.1 A or 1 % of it")),
            Contains(HasSubstr("end a discharge at a low voltage by itself (cutoff_volts): 0 to 60 V")),
            Contains(HasSubstr(
                "made safe by: INP OFF, CURR 0; proved off when INP? answers 0 and less than 0.2 A")),
            Contains(HasSubstr("measure volts to 0.03 % of the reading + 0.003 V, in steps of 0.001 V")),
            Contains(HasSubstr("tell what tripped it: low-voltage cut-off, over-current trip"))));
}

TEST(ProfileWords, tell_what_follows_from_an_ability_that_is_absent) {
  const ProfileAccount account = account_of(shipped_profile("generic_scpi_load"));
  EXPECT_THAT(
      account.cannot,
      AllOf(Contains(
                "end a discharge by itself (cutoff_volts): the daemon alone enforces the end of a discharge"),
            Contains(HasSubstr("trip on too much voltage by itself")), Contains(HasSubstr("heartbeat")),
            Contains(HasSubstr("narrow it to this one"))));
  EXPECT_THAT(account_of(shipped_profile("simulated_load")).cannot, Each(Not(HasSubstr("cutoff_volts"))));
}

TEST(ProfileWords, tell_everything_that_a_bare_profile_lacks) {
  Profile profile = shipped_profile("simulated_charger");
  profile.settings.erase(profile.settings.begin() + 2, profile.settings.end());
  profile.faults.reset();
  profile.clear_faults.clear();
  profile.errors = {};
  profile.safe.proof.reset();
  profile.frozen_after = 0;
  profile.identity.pin_model = profile.identity.pin_serial = false;
  const ProfileAccount account = account_of(profile);
  for (const char* lack :
       {"(identity.pin)", "([safe] prove)", "(trip_amps)", "(trip_volts)", "(frozen_after = 0)", "(faults)",
        "(clear_faults)", "(errors.ask)", "(power_cycle)", "(fence)"}) {
    EXPECT_THAT(account.cannot, Contains(HasSubstr(lack))) << lack;
  }
  EXPECT_THAT(account.cannot, Each(Not(HasSubstr("cutoff_volts")))) << "a charger has no discharge to end";
}

TEST(ProfileWords, warn_of_a_cut_off_that_the_daemon_would_take_for_a_trip) {
  Profile profile = shipped_profile("simulated_load");
  EXPECT_THAT(account_of(profile).cannot, Each(Not(HasSubstr("call it"))));
  profile.faults->names = {"under-voltage", "over-current", "over-voltage"};
  EXPECT_THAT(account_of(profile).cannot, Contains(HasSubstr("call it \"low-voltage cut-off\"")));
}

TEST(ProfileWords, expect_of_a_thermometer_only_that_it_reads) {
  const ProfileAccount account = account_of(shipped_profile("simulated_thermometer"));
  EXPECT_THAT(account.can, Contains(HasSubstr("measure temperature to 0 % of the reading + 0.3 K")));
  EXPECT_THAT(account.cannot, testing::IsEmpty());
}

}  // namespace
}  // namespace leadwright
