// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/recorder.h"

#include <gtest/gtest.h>

#include <utility>

#include "daemon/clock/virtual_clock.h"

namespace leadwright {
namespace {

/// Takes batches and answers, well or badly, at once or when it is told to.
class FakeStore final : public Store {
 public:
  Result<StoredBench> load() override { return StoredBench{}; }
  void write(Batch batch, std::function<void(Result<void>)> done) override {
    for (const Record& record : batch) blocks.push_back(std::get<TraceBlock>(record));
    waiting.push_back(std::move(done));
    if (!is_slow) answer();
  }
  void answer() {
    for (const auto& done : std::exchange(waiting, {}))
      done(broken ? fail(Errc::io, "disk full") : Result<void>());
  }
  std::size_t backlog() const override { return waiting.size(); }
  std::vector<TraceBlock> blocks;
  std::vector<std::function<void(Result<void>)>> waiting;
  bool broken = false;
  bool is_slow = false;
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

TEST_F(RecorderTest, a_block_that_the_store_refuses_is_told_at_once_and_once) {
  std::vector<std::string> told;
  recorder.refused = [&told](const Error& error) { told.push_back(error.what); };
  recorder.begin_step(0, "draw");
  record(5, Second(1.0), Ampere(25.0));
  EXPECT_TRUE(told.empty());
  store.broken = true;
  record(10, Second(1.0), Ampere(25.0));
  recorder.flush();
  EXPECT_EQ(told, std::vector<std::string>{"disk full"});
}

TEST_F(RecorderTest, a_refusal_that_comes_after_the_run_has_gone_is_told_to_nobody) {
  store.is_slow = true;
  store.broken = true;
  int told = 0;
  {
    Recorder brief{RunId{8}, Clocks{clock, clock}, store};
    brief.refused = [&told](const Error&) { ++told; };
    brief.begin_step(0, "draw");
    Sample sample;
    sample.volts = Volt(12.0);
    brief.add(sample);
    brief.flush();
  }
  ASSERT_EQ(store.waiting.size(), 1U);
  store.answer();
  EXPECT_EQ(told, 0);
}

}  // namespace
}  // namespace leadwright
