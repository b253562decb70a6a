// SPDX-License-Identifier: Apache-2.0
// What every row of the fault matrix shares: a bench with one bay and one charging place, a draw or a charge
// in the bay in mid-flight, a log of every byte, and the time to safe: from the instant at which the fault
// begins to that at which no current of the tester flows through the posts of the bay. All times are virtual.
#pragma once

#include <functional>
#include <map>
#include <random>

#include "tests/world/wire_log.h"
#include "tests/world/world_fixture.h"

namespace leadwright {

namespace fault_matrix {

/// stale_ms of simulated_load.toml and of simulated_charger.toml: so long may readings be missing.
constexpr Second load_fresh{1.0};
constexpr Second charger_fresh{2.0};
/// A third of it: the slowest that is sampled while energy flows.
constexpr Second load_period{load_fresh.si() / 3.0};
constexpr Second charger_period{charger_fresh.si() / 3.0};
/// What bytes may take on top (reliability.md, row 2).
constexpr Second bytes_time{0.1};
/// On half-duplex wires off waits for the frame that is due: timeout_ms of the profiles.
constexpr Second modbus_off_within{0.3};
/// quiet_ms of the Modbus profiles.
constexpr Second gap_time{0.002};
/// Machine time after which each instrument of the world answers.
constexpr Second answer_after{0.02};
constexpr double share_off_max = 0.01;
/// Of one damaged message, and of faults that last.
constexpr std::uint64_t seeds = 20;
constexpr std::uint64_t moments = 5;

inline const char* word(SimSpeech speech) {
  return speech == SimSpeech::modbus ? "modbus" : "scpi";
}

}  // namespace fault_matrix

class FaultMatrix : public WorldTest {
 protected:
  static constexpr const char* load_link = "memory:bay-1.load";
  static constexpr const char* charger_link = "memory:bay-1.charger";

  void make(SimSpeech speech, const std::function<void(WorldOptions&)>& change = {}) {
    world.reset();
    log.clear();
    results.clear();
    WorldOptions options;
    options.speech = speech;
    options.answer_after = fault_matrix::answer_after;
    options.tap = log.tap();
    if (change) change(options);
    speech_ = speech;
    make_world(std::move(options));
  }

  void start(const std::string& spec, const std::string& procedure) {
    bring("x", spec);
    ticket = drop_off("S-1", "flooded", 6, procedure);
    carry("x", ticket, bay);
    const Response started = world->start(bay);
    ASSERT_EQ(started.status, 202) << started.body;
    procedure_ = procedure;
    ASSERT_TRUE(world->clock().run_until(
        [this] { return place().run() != nullptr && place().run()->trace() != nullptr; },
        now() + Second(10.0)));
    began = now();
  }
  /// The row, once for each seed, which says at what moment between two samples the fault strikes.
  void at_each_moment(const std::function<void()>& row) {
    for (std::uint64_t seed = 1; seed <= fault_matrix::moments; ++seed) {
      SCOPED_TRACE("seed=" + std::to_string(seed));
      std::mt19937_64 random(seed);
      moment_ = fault_matrix::charger_period * (static_cast<double>(random() >> 11U) * 0x1.0p-53);
      row();
      if (HasFatalFailure()) return;
    }
  }
  /// 25 A out of a sound battery, for more than a minute.
  void draw(SimSpeech speech) {
    make(speech);
    start("cell:sound", "reserve capacity");
    world->clock().run_for(minutes(2.5) + moment_);
    ASSERT_GT(posts().load_amps(), Ampere(24.0));
    acting = load_link;
    partner = charger_link;
  }
  /// 12 A into a discharged battery, for more than a minute.
  void charge(SimSpeech speech, const std::string& spec = "cell:discharged") {
    make(speech);
    start(spec, "standard charge");
    world->clock().run_for(minutes(2.5) + moment_);
    ASSERT_GT(posts().charger_amps(), Ampere(11.0));
    acting = charger_link;
    partner = load_link;
  }

  Instant now() { return world->clock().now(); }
  Place& place() { return *world->bench().place(bay); }
  SimInstrument& load() { return *world->sim().instrument("bay-1.load"); }
  SimInstrument& charger() { return *world->sim().instrument("bay-1.charger"); }
  /// Brought up to now.
  const Terminals& posts() {
    world->sim().terminals(bay)->settle(now());
    return terminals(bay);
  }
  bool is_safe() { return posts().load_amps() == Ampere(0.0) && posts().charger_amps() == Ampere(0.0); }
  /// Off waits so long for the wire.
  Second off_within() const {
    return speech_ == SimSpeech::modbus ? fault_matrix::modbus_off_within : Second(0.0);
  }

  /// From now on; `limit` if it is not safe by then. Exact where bytes end it, to within a thousandth of the
  /// limit where an instrument does it by itself.
  Second time_to_safe(Second limit) {
    const Instant fault = now();
    const auto safe = [this] { return is_safe(); };
    while (now() - fault < limit) {
      const Instant next = now() + limit / 1000.0;
      if (world->clock().run_until(safe, next)) return now() - fault;
      world->clock().run_for(next - now());
    }
    return limit;
  }

  /// The fault began at this instant. The posts are safe within `bound`; the off of both instruments is on
  /// their wires, and nothing that energises is from here on.
  void expect_safe_within(Second bound) {
    const Instant fault = now();
    const Second took = time_to_safe(bound * 4.0);
    record("time_to_safe_s", took);
    EXPECT_LE(took.si(), bound.si());
    ASSERT_TRUE(world->finish(bay, minutes(5.0)));
    world->clock().run_for(Second(20.0));
    EXPECT_TRUE(is_safe());
    expect_off_on_both_wires(fault);
    expect_no_energy_since(fault);
  }
  /// Off is the first word, before any question; a line end that ends what was half sent may stand before it.
  void expect_off_comes_first(const std::string& link, Instant since) {
    for (const Crossing& crossing : log.said(link, since)) {
      if (crossing.bytes == "\n") continue;
      EXPECT_TRUE(WorldWireLog::switches_off(crossing.bytes)) << link << ": " << crossing.bytes;
      return;
    }
    ADD_FAILURE() << "nothing was said on " << link;
  }
  /// The link of the partner is free, so that its off goes out in the instant of the decision.
  void expect_off_on_both_wires(Instant fault) {
    const auto first = log.first_off(acting, fault);
    const auto decided = log.first_off(partner, fault);
    ASSERT_TRUE(first && decided);
    EXPECT_LE((*first - *decided).si(), (off_within() + fault_matrix::gap_time).si());
    EXPECT_GE(log.off_count(acting, fault), 2) << "said again before it is read back";
  }
  void expect_no_energy_since(Instant instant) {
    EXPECT_EQ(log.energy_count(load_link, instant), 0);
    EXPECT_EQ(log.energy_count(charger_link, instant), 0);
    EXPECT_EQ(log.energy_count(partner, began), 0) << "the partner was never asked for energy";
  }
  /// The run ended without a finding, and its ticket waits for the same work.
  void expect_no_result(RunOutcome outcome, const char* words) {
    ASSERT_EQ(results.size(), 1U);
    EXPECT_EQ(results.back().run.outcome, outcome);
    EXPECT_THAT(results.back().run.end_reason, testing::HasSubstr(words));
    EXPECT_TRUE(results.back().findings.empty());
    EXPECT_TRUE(results.back().faults.empty());
    expect_ticket_waits();
  }
  void expect_ticket_waits() {
    EXPECT_EQ(file(ticket).ticket.state, TicketState::waiting);
    EXPECT_TRUE(file(ticket).findings.empty());
    EXPECT_FALSE(file(ticket).grade);
    const auto next = next_work(file(ticket), Policy{});
    ASSERT_TRUE(next);
    EXPECT_EQ(next->procedure, procedure_);
  }
  void expect_tripped(const char* words) {
    expect_no_result(RunOutcome::tripped, words);
    EXPECT_EQ(place().activity(), Activity::tripped);
    EXPECT_THAT(place().trip(), testing::HasSubstr(words));
    EXPECT_EQ(world->start(bay).status, 409) << "until a person acknowledged it";
  }

  /// The longest so far, into the report of the test.
  void record(const std::string& what, Second time) {
    Second& longest = longest_[what];
    longest = std::max(longest, time);
    RecordProperty(what, std::to_string(longest.si()));
  }

  WorldWireLog log;
  std::string ticket;
  Instant began;  ///< of the run's trace
  std::string acting = load_link;
  std::string partner = charger_link;

 private:
  SimSpeech speech_ = SimSpeech::scpi;
  std::string procedure_;
  Second moment_;
  std::map<std::string, Second> longest_;
};

class FaultMatrixOnBoth : public FaultMatrix, public testing::WithParamInterface<SimSpeech> {};

inline std::string speech_name(const testing::TestParamInfo<SimSpeech>& info) {
  return fault_matrix::word(info.param);
}

}  // namespace leadwright
