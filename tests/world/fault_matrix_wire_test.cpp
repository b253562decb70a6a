// SPDX-License-Identifier: Apache-2.0
// Rows of the fault matrix in which one message is damaged, at a moment drawn from the seed: a sound daemon
// goes on with the right result, or ends safe, and never believes an answer to another question.
#include "tests/world/fault_matrix.h"

namespace leadwright {
namespace {

using namespace fault_matrix;

/// When the procedure's rest of 60 s is over the load is programmed and ramps up; both take about 5 s.
constexpr Second rest_time{60.0};
constexpr Second ramp_time{6.0};
/// So long a battery that is a tenth full is then drawn from, and a little longer.
constexpr Second draw_time{340.0};
/// While it ramps up the next message may be half a second away. Readings may be missing as long as the
/// profile allows; a setting that made the load protect itself shows in three readings after the time to
/// follow.
constexpr Second ramp_period{0.5};
constexpr Second follows_in{0.5};
constexpr Second ends_within = ramp_period +
                               std::max(load_fresh, follows_in + load_period * FollowWatch::samples_off_max) +
                               modbus_off_within + bytes_time;
/// timeout_ms of the profiles, and how much later the answer comes: what it holds up may then be older than
/// the readings may be.
constexpr Second time_out{0.3};
constexpr Second late_max{0.5};
/// Of the seeds, so many runs at least go on: one damaged message is no reason to end a draw of hours.
constexpr int most = 16;
constexpr int some = 5;
/// Slower, and fifty answers in a row would take longer than the readings may be missing.
constexpr Second piece_gap_max{0.005};
/// An exchange is stamped in its middle, which is rounded to a nanosecond.
constexpr Second stamp_rounding{1e-6};

/// "11.397;25.000;123": of the 5.
constexpr int lowest_bit_of_amps = 8 * 8;

class FaultMatrixWire : public FaultMatrixOnBoth {
 protected:
  using Draw = std::function<double()>;
  using Strike = std::function<CableFault(const Draw&)>;
  enum class Paired { no, yes, doubled };

  /// Discharges a battery that is a tenth full with one fault on a wire of the bay. Odd seeds strike while
  /// the load is programmed and ramps up, every fifth the charger's wire, which speaks before and after the
  /// draw only.
  void discharge(std::uint64_t seed, const Strike& fault) {
    std::mt19937_64 random(seed);
    const Draw share = [&random] { return static_cast<double>(random() >> 11U) * 0x1.0p-53; };
    make(GetParam(), [seed](WorldOptions& options) { options.seed = seed; });
    start("cell:sound,charged=0.1", "reserve capacity");
    const bool early = seed % 2 == 1;
    const double moment = share();
    world->clock().run_for(early ? rest_time + ramp_time * (moment - 0.1)
                                 : rest_time + ramp_time + draw_time * moment);
    const Instant struck = now();
    const bool on_charger = seed % 5 == 0;
    Cable& cable = world->cable(on_charger ? "bay-1.charger" : "bay-1.load");
    const CableFault struck_by = fault ? fault(share) : CableFault();
    if (fault) cable.strike(struck_by);
    ASSERT_TRUE(world->finish(bay, hours(1.0)));
    world->clock().run_for(Second(20.0));
    EXPECT_TRUE(cable.is_quiet() || struck_by.times > 1) << "the fault has struck";
    EXPECT_TRUE(is_safe());
    ASSERT_EQ(results.size(), 1U);
    // One draw: on, perhaps said again, then off, and never on again.
    const auto off = log.first_off(load_link, began);
    ASSERT_TRUE(off);
    EXPECT_EQ(log.energy_count(load_link, *off), 0);
    EXPECT_LE(log.on_count(load_link, began), 2);
    EXPECT_EQ(log.energy_count(charger_link, began), 0);
    EXPECT_GE(log.off_count(charger_link, *off), 1);
    const bool is_broken = results.back().run.outcome != RunOutcome::complete;
    if (is_broken && !on_charger) slowest_ = std::max(slowest_, *off - struck);
  }
  std::optional<double> stated_minutes() {
    const Finding* found = file(ticket).newest(Measurand::reserve_capacity);
    return found != nullptr ? std::optional(found->value) : std::nullopt;
  }

  /// Each sample of the trace is the answer to the question that was out at its stamp.
  void expect_own_answers(bool doubled) {
    const auto exchanges = log.exchanges(load_link, doubled);
    auto exchange = exchanges.begin();
    for (const Sample& sample : results.back().trace.samples) {
      const Instant stamp = began + sample.at;
      const auto is_other = [stamp](const WireExchange& each) {
        return abs(midpoint(each.asked, each.answered) - stamp) > stamp_rounding;
      };
      exchange = std::find_if_not(exchange, exchanges.end(), is_other);
      ASSERT_NE(exchange, exchanges.end()) << "at " << sample.at.si();
      const auto shown = WorldWireLog::sampled(*exchange);
      ASSERT_TRUE(shown) << "at " << sample.at.si() << ": " << exchange->question;
      ASSERT_TRUE(sample.volts && sample.amps);
      ASSERT_DOUBLE_EQ(sample.volts->si(), shown->volts);
      ASSERT_DOUBLE_EQ(sample.amps->si(), shown->amps);
    }
  }

  /// Gives how many runs were complete.
  int over_seeds(const Strike& fault, Paired paired = Paired::no) {
    discharge(2, {});
    const auto truth = stated_minutes();
    EXPECT_TRUE(truth);
    int complete = 0;
    for (std::uint64_t seed = 1; truth && seed <= seeds; ++seed) {
      SCOPED_TRACE("seed=" + std::to_string(seed));
      discharge(seed, fault);
      if (HasFatalFailure() || results.empty()) return complete;
      if (paired != Paired::no) expect_own_answers(paired == Paired::doubled);
      const auto stated = stated_minutes();
      if (results.back().run.outcome == RunOutcome::complete) {
        ++complete;
        EXPECT_TRUE(stated);
        EXPECT_NEAR(stated.value_or(0.0), *truth, share_off_max * *truth);
      } else {
        EXPECT_FALSE(stated);
        expect_ticket_waits();
      }
    }
    RecordProperty("complete", complete);
    record("slowest_to_safe_s", slowest_);
    EXPECT_LE(slowest_.si(), ends_within.si());
    return complete;
  }

 private:
  Second slowest_;
};

CableFault either_way(const CableFault& fault, double share) {
  return share < 0.5 ? fault : fault.of_questions();
}

TEST_P(FaultMatrixWire, a_dropped_byte) {
  const int complete = over_seeds([](const auto& share) {
    const CableFault dropped = CableFault::dropped(static_cast<int>(share() * 64.0));
    return either_way(dropped, share());
  });
  EXPECT_GE(complete, most);
}

TEST_P(FaultMatrixWire, a_flipped_bit) {
  const int complete = over_seeds([](const auto& share) {
    const CableFault flipped = CableFault::flipped(static_cast<int>(share() * 512.0));
    return either_way(flipped, share());
  });
  EXPECT_GE(complete, most);
}

// 24 A where 25 A flow: nothing but the next reading says that it is wrong. Of Modbus the check does.
TEST_P(FaultMatrixWire, a_flipped_digit_of_the_current) {
  discharge(2, {});
  const auto truth = stated_minutes();
  discharge(2, [](const auto&) { return CableFault::flipped(lowest_bit_of_amps); });
  const auto stated = stated_minutes();
  ASSERT_TRUE(truth && stated) << results.back().run.end_reason;
  EXPECT_NEAR(*stated, *truth, share_off_max * *truth);
}

TEST_P(FaultMatrixWire, a_doubled_line) {
  const int complete = over_seeds(
      [](const auto& share) { return either_way(CableFault::doubled(), share()); }, Paired::doubled);
  EXPECT_EQ(complete, static_cast<int>(seeds));
}

TEST_P(FaultMatrixWire, a_late_answer_that_arrives_after_its_time_out) {
  const int complete = over_seeds(
      [](const auto& share) { return CableFault::late(time_out + late_max * share()); }, Paired::yes);
  EXPECT_GE(complete, some);
}

TEST_P(FaultMatrixWire, an_answer_split_over_ten_reads) {
  const int complete = over_seeds(
      [](const auto& share) { return CableFault::split(10, piece_gap_max * share()).in_a_row(50); },
      Paired::yes);
  EXPECT_EQ(complete, static_cast<int>(seeds));
}

TEST_P(FaultMatrixWire, one_answer_of_binary_rubbish) {
  const int complete = over_seeds(
      [](const auto& share) { return CableFault::rubbish(1 + static_cast<int>(share() * 600.0)); });
  EXPECT_GE(complete, most);
}

INSTANTIATE_TEST_SUITE_P(FaultMatrix, FaultMatrixWire, testing::Values(SimSpeech::scpi, SimSpeech::modbus),
                         speech_name);

}  // namespace
}  // namespace leadwright
