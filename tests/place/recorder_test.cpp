// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/recorder.h"

#include <gtest/gtest.h>

#include "daemon/clock/virtual_clock.h"

namespace leadwright {
namespace {

/// Takes batches and answers at once, well or badly.
class FakeStore final : public Store {
 public:
  Result<StoredBench> load() override { return StoredBench{}; }
  void write(Batch batch, std::function<void(Result<void>)> done) override {
    for (const Record& record : batch) blocks.push_back(std::get<TraceBlock>(record));
    done(broken ? fail(Errc::io, "disk full") : Result<void>());
  }
  std::size_t backlog() const override { return 0; }
  std::vector<TraceBlock> blocks;
  bool broken = false;
};

class RecorderTest : public testing::Test {
 protected:
  void record(int count, Second period, Ampere amps) {
    for (int index = 0; index < count; ++index) {
      clock.run_for(period);
      Sample sample;
      sample.at = recorder.elapsed();
      sample.volts = Volt(12.0);
      sample.amps = amps;
      recorder.add(sample);
    }
  }
  VirtualClock clock;
  FakeStore store;
  Recorder recorder{RunId{7}, Clocks{clock, clock}, store};
};

TEST_F(RecorderTest, every_sample_reaches_the_store_once_and_in_order) {
  recorder.begin_step(0, "draw");
  record(500, Second(0.5), Ampere(25.0));
  recorder.end_step("cut-off");
  recorder.flush();
  std::size_t count = 0;
  Second last{-1.0};
  for (const TraceBlock& block : store.blocks) {
    EXPECT_EQ(block.run, RunId{7});
    for (const Sample& sample : block.samples) {
      EXPECT_GT(sample.at, last);
      last = sample.at;
      ++count;
    }
  }
  EXPECT_EQ(count, 500U);
}

TEST_F(RecorderTest, writes_at_least_every_five_seconds_and_blocks_of_a_minute_at_the_most) {
  recorder.begin_step(0, "draw");
  record(60, Second(0.5), Ampere(25.0));
  EXPECT_GE(store.blocks.size(), 5U);
  for (const TraceBlock& block : store.blocks) {
    EXPECT_LE(block.samples.back().at - block.samples.front().at, Recorder::block_span_max);
  }
}

TEST_F(RecorderTest, counts_charge_by_trapezoids_and_starts_anew_with_each_step) {
  recorder.begin_step(0, "draw");
  record(61, Second(1.0), Ampere(25.0));
  EXPECT_NEAR(recorder.step_charge().si(), 1500.0, 1e-6);
  recorder.begin_step(1, "charge");
  record(11, Second(1.0), Ampere(-10.0));
  EXPECT_NEAR(recorder.step_charge().si(), -100.0, 1e-6);
  EXPECT_NEAR(recorder.run_charge().si(), 1400.0, 1e-6);
}

TEST_F(RecorderTest, a_store_that_refuses_a_block_is_told_to_the_run) {
  store.broken = true;
  recorder.begin_step(0, "draw");
  record(1, Second(1.0), Ampere(25.0));
  recorder.flush();
  EXPECT_TRUE(recorder.store_failed());
}

}  // namespace
}  // namespace leadwright
