// SPDX-License-Identifier: Apache-2.0
// An instrument behind a line with faults drawn from many seeds. What must hold whatever the line does: a
// reading belongs to the last question, off is only called off when it is off, and every task ends.
#include <gmock/gmock.h>

#include "world.h"

namespace leadwright {
namespace {

constexpr int seeds = 60;
constexpr int samples_per_seed = 60;

/// Answers each sample with the count of samples asked for so far, as its volts. The same question, doubled
/// by the line, counts once.
struct CountingDevice final : MemoryDevice {
  FakeDevice inner;
  int asked = 0;
  std::string last;
  void receive(std::string_view bytes, MemoryPort& port) override {
    if (bytes.find("MEAS:VOLT?") != std::string_view::npos && std::exchange(last, bytes) != bytes)
      inner.volts = std::to_string(++asked);
    inner.receive(bytes, port);
  }
};

struct FaultyLine : LoadWorld {
  CountingDevice counting;

  void open(std::uint64_t seed, FaultPlan plan) {
    plan.seed = seed;
    auto memory = std::make_unique<MemoryLink>("memory:x", clock, counting, plan);
    link = memory.get();
    load = std::make_unique<Instrument>("x", std::move(memory), profile, clock, clock);
  }
  /// Connects however long it takes; a place would do the same with back-off.
  bool connect_patiently() {
    for (int i = 0; i < 50; ++i) {
      if (run(load->connect())) return true;
      clock.run_for(Second(1.0));
    }
    return false;
  }
};

FaultPlan noisy_plan() {
  FaultPlan plan;
  plan.drop = plan.delay = plan.split = plan.duplicate = 0.05;
  plan.stall = plan.unplug = 0.01;
  plan.delay_max = Second(1.0);
  plan.stall_time = Second(1.5);
  return plan;
}

TEST_F(FaultyLine, never_gives_a_reading_that_answers_an_earlier_question) {
  int good = 0;
  for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
    open(seed, noisy_plan());
    ASSERT_TRUE(connect_patiently()) << "seed=" << seed;
    for (int i = 0; i < samples_per_seed; ++i) {
      const Result<Reading> reading = run(load->sample());
      if (reading) {
        ASSERT_EQ(reading->volts, Volt(counting.asked)) << "seed=" << seed << " sample " << i;
        ++good;
      } else if (load->state() == LinkState::lost) {
        ASSERT_TRUE(connect_patiently()) << "seed=" << seed;
      }
    }
  }
  EXPECT_GT(good, seeds * samples_per_seed / 2) << "most samples must come through such a line";
}

TEST_F(FaultyLine, says_safe_only_when_the_instrument_is_off) {
  int safe_count = 0;
  for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
    open(seed, noisy_plan());
    ASSERT_TRUE(connect_patiently()) << "seed=" << seed;
    for (int i = 0; i < 10 && link->is_open(); ++i) {
      counting.inner.is_on = true;
      if (!run(load->make_safe())) continue;
      ASSERT_FALSE(counting.inner.is_on) << "seed=" << seed;
      ++safe_count;
    }
  }
  EXPECT_GT(safe_count, seeds * 5) << "off must get through most of the time";
}

TEST_F(FaultyLine, says_set_only_when_the_instrument_has_the_value) {
  int set_count = 0;
  for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
    open(seed, noisy_plan());
    ASSERT_TRUE(connect_patiently()) << "seed=" << seed;
    for (int i = 1; i <= 10 && link->is_open(); ++i) {
      if (!run(load->set_amps(Ampere(i)))) continue;
      ASSERT_EQ(counting.inner.amps_set, std::to_string(i) + ".000") << "seed=" << seed;
      ++set_count;
    }
  }
  EXPECT_GT(set_count, seeds * 5);
}

}  // namespace
}  // namespace leadwright
