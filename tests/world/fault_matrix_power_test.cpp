// SPDX-License-Identifier: Apache-2.0
// Rows of the fault matrix in which the mains were lost and are back: the instruments came up 90 s before the
// daemon, on as they were; or one of them did so between two samples of a daemon that lives.
#include "tests/world/fault_matrix.h"

namespace leadwright {
namespace {

using namespace fault_matrix;
using testing::HasSubstr;

constexpr Second dark_for{30.0};
constexpr Second alone_for{90.0};
/// So short that no reading is too late.
constexpr Second dip{0.2};
/// recheck_s of the profiles.
constexpr Second looked_at_every{10.0};
/// A Modbus unit has no word for it, but its heartbeat is gone, which would end the current of a dead daemon.
constexpr const char* is_found_out(SimSpeech speech) {
  return speech == SimSpeech::modbus ? "the heartbeat is not armed" : "was restarted";
}

class FaultMatrixPower : public FaultMatrixOnBoth {
 protected:
  void lose_mains_and_come_back_alone() {
    for (const std::string& name : world->sim().instrument_names())
      world->sim().instrument(name)->lose_mains();
    world->kill();
    EXPECT_TRUE(is_safe()) << "nothing flows without mains";
    world->clock().run_for(dark_for);
    for (const std::string& name : world->sim().instrument_names()) {
      world->sim().instrument(name)->restore_mains(true);
    }
    world->clock().run_for(alone_for);
    ASSERT_FALSE(is_safe());
  }
  /// Off is the first word on each wire, before any answer is waited for.
  void expect_safe_from_the_first_byte() {
    const Instant restarted = now();
    world->restart();
    record("time_to_safe_s", *log.first_off(acting, restarted) - restarted);
    EXPECT_TRUE(is_safe());
    for (const char* link : {load_link, charger_link}) expect_off_comes_first(link, restarted);
    EXPECT_LE((*log.first_off(acting, restarted) - restarted).si(), bytes_time.si());
    world->clock().run_for(minutes(1.0));
    EXPECT_TRUE(is_safe());
    expect_no_energy_since(restarted);
  }
  void expect_void() {
    EXPECT_EQ(place().activity(), Activity::ready) << place().problem();
    const leadwright::Run& run = file(ticket).runs.back();
    EXPECT_EQ(run.outcome, RunOutcome::void_);
    EXPECT_THAT(run.end_reason, HasSubstr("the daemon stopped"));
    EXPECT_THAT(file(ticket).ticket.state_reason, HasSubstr("the daemon stopped"));
    expect_ticket_waits();
  }
};

TEST_P(FaultMatrixPower, mains_lost_and_back_in_a_draw) {
  at_each_moment([this] {
    draw(GetParam());
    lose_mains_and_come_back_alone();
    EXPECT_GT(posts().load_amps(), Ampere(24.0));
    expect_safe_from_the_first_byte();
    expect_void();
  });
}

TEST_P(FaultMatrixPower, mains_lost_and_back_in_a_charge) {
  at_each_moment([this] {
    charge(GetParam());
    lose_mains_and_come_back_alone();
    EXPECT_GT(posts().charger_amps(), Ampere(11.0));
    expect_safe_from_the_first_byte();
    // Looked at when its surface charge has fallen, and gone on with by limits that were set anew.
    world->clock().run_for(Second(10.0));
    ASSERT_NE(place().run(), nullptr) << file(ticket).ticket.state_reason;
    // It was gone long enough for another battery, and on a charge its volts can't tell.
    EXPECT_EQ(posts().charger_amps(), Ampere(0.0));
    EXPECT_EQ(world->ask("place.resume", bay, R"({"why":"its label is the ticket's"})").status, 200);
    world->clock().run_for(Second(20.0));
    EXPECT_NEAR(posts().charger_amps().si(), 12.0, 0.2);
  });
}

TEST_P(FaultMatrixPower, a_dip_of_the_mains_in_a_draw) {
  at_each_moment([this] {
    draw(GetParam());
    load().lose_mains();
    world->clock().run_for(dip);
    load().restore_mains(true);
    ASSERT_GT(posts().load_amps(), Ampere(24.0));
    expect_safe_within(looked_at_every + load_period * 2.0 + off_within() + bytes_time);
    expect_tripped(is_found_out(GetParam()));
  });
}

TEST_P(FaultMatrixPower, a_dip_of_the_mains_in_a_charge) {
  at_each_moment([this] {
    charge(GetParam());
    charger().lose_mains();
    world->clock().run_for(dip);
    charger().restore_mains(true);
    ASSERT_GT(posts().charger_amps(), Ampere(11.0));
    expect_safe_within(looked_at_every + charger_period * 2.0 + off_within() + bytes_time);
    expect_tripped(is_found_out(GetParam()));
  });
}

INSTANTIATE_TEST_SUITE_P(FaultMatrix, FaultMatrixPower, testing::Values(SimSpeech::scpi, SimSpeech::modbus),
                         speech_name);

}  // namespace
}  // namespace leadwright
