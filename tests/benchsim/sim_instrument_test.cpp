// SPDX-License-Identifier: Apache-2.0
// Simulated instruments behind the real driver and their profiles, over memory links and virtual time.
#include <gtest/gtest.h>

#include <cmath>

#include "daemon/clock/virtual_clock.h"
#include "drivers/instrument.h"
#include "protocol/scpi.h"
#include "tests/drivers/shipped_profile.h"
#include "tools/benchsim/battery_spec.h"
#include "tools/benchsim/benchsim.h"
#include "tools/benchsim/replay_battery.h"

namespace leadwright {
namespace {

/// A bench under virtual time with the driver's instruments of its first bay.
struct Bay {
  explicit Bay(bool ideal, std::uint64_t seed = 1)
      : bench({1, 1, ideal, seed, Second(0.0)}, clock), links(clock) {
    bench.add_to(links);
  }

  std::unique_ptr<Instrument> instrument(const std::string& name, const Profile& of) {
    auto link = links.make({LinkAddress::Kind::memory, name}, of.link.serial);
    return std::make_unique<Instrument>(name, std::move(*link), of, clock, clock);
  }
  template <class T>
  Result<T> wait(Task<Result<T>> task) {
    std::optional<Result<T>> result;
    const Job job(clock.loop(), keep(std::move(task), &result));
    clock.run_until([&result] { return result.has_value(); }, clock.now() + hours(1.0));
    return result ? std::move(*result) : Result<T>(fail(Errc::timed_out, "never ended"));
  }
  template <class T>
  static Task<void> keep(Task<Result<T>> task, std::optional<Result<T>>* into) {
    into->emplace(co_await std::move(task));
  }
  std::string ask(const std::string& name, const std::string& message) {
    std::string answers;
    bench.instrument(name)->exchange(message + "\n", answers);
    return answers;
  }

  double number(const std::string& name, const std::string& query) {
    return read_scpi_number(trim_scpi(ask(name, query))).value().value;
  }

  VirtualClock clock;
  SimBench bench;
  MemoryLinkFactory links;
  const Profile load_profile_ = shipped_profile("simulated_load");
  const Profile charger_profile_ = shipped_profile("simulated_charger");
  const Profile thermometer_profile_ = shipped_profile("simulated_thermometer");
};

TEST(SimInstruments, are_what_their_profiles_expect) {
  Bay bay(true);
  auto load = bay.instrument("bay-1.load", bay.load_profile_);
  auto charger = bay.instrument("bay-1.charger", bay.charger_profile_);
  auto thermometer = bay.instrument("charge-1.thermometer", bay.thermometer_profile_);
  for (Instrument* each : {load.get(), charger.get(), thermometer.get()}) {
    const auto connected = bay.wait(each->connect());
    ASSERT_TRUE(connected) << connected.error().line();
    EXPECT_EQ(each->identity()->simulated_scale, 1.0);
  }
  EXPECT_EQ(load->identity()->serial, "bay-1.load");
}

TEST(SimInstruments, take_every_setting_of_their_profiles) {
  Bay bay(false);
  bay.bench.plug("bay-1", make_battery("cell:sound").value()).value();
  auto load = bay.instrument("bay-1.load", bay.load_profile_);
  auto charger = bay.instrument("bay-1.charger", bay.charger_profile_);
  ASSERT_TRUE(bay.wait(load->connect()));
  ASSERT_TRUE(bay.wait(charger->connect()));
  const auto good = [](const Result<void>& result) { return result ? std::string() : result.error().line(); };
  EXPECT_EQ(good(bay.wait(load->trip_amps(Ampere(30.0)))), "");
  EXPECT_EQ(good(bay.wait(load->trip_volts(Volt(18.0)))), "");
  EXPECT_EQ(good(bay.wait(load->cutoff_volts(Volt(10.32)))), "");
  EXPECT_EQ(good(bay.wait(load->set_amps(Ampere(25.0)))), "");
  EXPECT_EQ(good(bay.wait(load->enable(true))), "");
  EXPECT_EQ(good(bay.wait(load->enable(false))), "");
  EXPECT_EQ(good(bay.wait(charger->trip_volts(Volt(15.0)))), "");
  EXPECT_EQ(good(bay.wait(charger->trip_amps(Ampere(15.0)))), "");
  EXPECT_EQ(good(bay.wait(charger->set_volts(Volt(14.4)))), "");
  EXPECT_EQ(good(bay.wait(charger->limit_amps(Ampere(12.0)))), "");
  EXPECT_EQ(good(bay.wait(charger->enable(true))), "");
  bay.clock.run_for(Second(1.0));
  const auto reading = bay.wait(charger->sample());
  ASSERT_TRUE(reading);
  EXPECT_GT(reading->amps->si(), 1.0);
  EXPECT_EQ(good(bay.wait(charger->make_safe())), "");
  EXPECT_EQ(bay.wait(charger->faults()).value_or("?"), "");
}

TEST(SimInstruments, report_their_cutoff_until_it_is_cleared) {
  Bay bay(true);
  bay.bench.plug("bay-1", make_battery("cell:open").value()).value();
  auto load = bay.instrument("bay-1.load", bay.load_profile_);
  ASSERT_TRUE(bay.wait(load->connect()));
  bay.ask("bay-1.load", "INP:CUT 10.5;:CURR 10;:INP ON");
  EXPECT_EQ(bay.ask("bay-1.load", "INP?;:INP:CUT:TRIP?"), "0;1\n");
  EXPECT_EQ(bay.wait(load->faults()).value_or("?"), "low-voltage cut-off");
  EXPECT_EQ(bay.ask("bay-1.load", "*CLS;INP ON;:SYST:ERR?").substr(0, 4), "-221");
  ASSERT_TRUE(bay.wait(load->clear_faults()));
  EXPECT_EQ(bay.ask("bay-1.load", "INP:CUT:TRIP?"), "0\n");
}

TEST(SimInstruments, measure_a_replayed_reserve_capacity_exactly_when_ideal) {
  // 90.589 min: sidecar of A_44ah_25a.csv, tests/reference/porous-electrode.
  Bay bay(true);
  const std::string file =
      std::string(LEADWRIGHT_SOURCE_DIR) + "/tests/reference/porous-electrode/A/A_44ah_25a.csv";
  bay.bench.plug("bay-1", make_battery("replay:" + file).value()).value();
  bay.ask("bay-1.load", "INP:CUT 10.5;:CURR 25;:INP ON");
  bay.clock.run_for(hours(2.0));
  EXPECT_EQ(bay.ask("bay-1.load", "INP:CUT:TRIP?"), "1\n");
  const Instant cut_at = bay.bench.terminals("bay-1")->load.cut_at.value();
  EXPECT_NEAR(as_minutes(cut_at - Instant()), 90.589, 0.01);
}

TEST(SimInstruments, stay_within_the_accuracy_of_their_profiles) {
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    Bay bay(false, seed);
    bay.bench.plug("bay-1", make_battery("cell:sound").value()).value();
    bay.ask("bay-1.load", "CURR 25;:INP ON");
    bay.clock.run_for(Second(2.0));
    for (int i = 0; i < 50; ++i) {
      const double volts = bay.number("bay-1.load", "MEAS:VOLT?");
      const double amps = bay.number("bay-1.load", "MEAS:CURR?");
      const Terminals& posts = *bay.bench.terminals("bay-1");
      // Declared in config/profiles/simulated_load.toml, and half a step of resolution.
      EXPECT_LE(std::abs(volts - posts.volts().si()), 0.0003 * volts + 0.003 + 0.0005);
      EXPECT_LE(std::abs(amps - posts.load_amps().si()), 0.0005 * amps + 0.005 + 0.0005);
      EXPECT_LE(std::abs(posts.load_amps().si() - 25.0), 0.0005 * 25.0 + 0.005);
    }
  }
}

TEST(SimInstruments, differ_by_seed_and_repeat_with_it) {
  const auto answer = [](std::uint64_t seed) {
    Bay bay(false, seed);
    bay.bench.plug("bay-1", make_battery("cell:sound").value()).value();
    std::string all;
    for (int i = 0; i < 20; ++i) all += bay.ask("bay-1.charger", "MEAS:VOLT?");
    return all;
  };
  EXPECT_EQ(answer(7), answer(7));
  EXPECT_NE(answer(7), answer(8));
}

TEST(SimInstruments, show_at_a_moment_what_they_show_then_however_often_they_were_asked_before) {
  SimBenchOptions options;
  options.noise_by_moment = true;
  const auto readings = [&options](int asked_before) {
    VirtualClock clock;
    SimBench bench(options, clock);
    bench.plug("bay-1", make_battery("cell:sound").value()).value();
    std::string answers;
    for (int i = 0; i < asked_before; ++i) {
      bench.instrument("bay-1.load")->exchange("MEAS:VOLT?\n", answers);
      clock.run_for(Second(1.0));
    }
    clock.run_for(Second(100.0) - (clock.now() - Instant()));
    answers.clear();
    bench.instrument("bay-1.load")->exchange("MEAS:VOLT?;:MEAS:CURR?\n", answers);
    clock.run_for(Second(1.0));
    bench.instrument("bay-1.load")->exchange("MEAS:VOLT?;:MEAS:CURR?\n", answers);
    return answers;
  };
  EXPECT_EQ(readings(0), readings(7));
}

TEST(SimInstruments, settle_after_a_step_of_the_current) {
  Bay bay(false);
  bay.bench.plug("bay-1", make_battery("cell:sound").value()).value();
  bay.ask("bay-1.load", "CURR 25;:INP ON");
  const double at_once = bay.number("bay-1.load", "MEAS:CURR?");
  bay.clock.run_for(Second(0.3));
  EXPECT_LT(at_once, 5.0);
  EXPECT_NEAR(bay.number("bay-1.load", "MEAS:CURR?"), 25.0, 0.04);
}

TEST(SimInstruments, stay_on_when_they_ignore_off) {
  Bay bay(true);
  bay.bench.plug("bay-1", make_battery("cell:sound").value()).value();
  bay.ask("bay-1.load", "CURR 5;:INP ON");
  bay.bench.instrument("bay-1.load")->set_fault(SimInstrument::Fault::ignores_off, true);
  EXPECT_EQ(bay.ask("bay-1.load", "INP OFF;CURR 0;INP?;:MEAS:CURR?"), "1;5.000\n");
  auto load = bay.instrument("bay-1.load", bay.load_profile_);
  EXPECT_FALSE(bay.wait(load->connect()));
  bay.bench.instrument("bay-1.load")->set_fault(SimInstrument::Fault::ignores_off, false);
  EXPECT_EQ(bay.ask("bay-1.load", "INP OFF;INP?"), "0\n");
}

TEST(SimInstruments, repeat_one_reading_when_stuck) {
  Bay bay(true);
  bay.bench.plug("bay-1", make_battery("cell:sound").value()).value();
  const std::string before = bay.ask("bay-1.load", "MEAS:VOLT?");
  bay.bench.instrument("bay-1.load")->set_fault(SimInstrument::Fault::stuck_reading, true);
  EXPECT_EQ(bay.ask("bay-1.load", "CURR 25;:INP ON;:MEAS:VOLT?"), before);
}

TEST(SimInstruments, obey_silently_when_they_give_no_answer) {
  Bay bay(true);
  bay.bench.plug("bay-1", make_battery("cell:sound").value()).value();
  bay.bench.instrument("bay-1.load")->set_fault(SimInstrument::Fault::no_answer, true);
  EXPECT_EQ(bay.ask("bay-1.load", "CURR 25;:INP ON;:INP?"), "");
  EXPECT_TRUE(bay.bench.terminals("bay-1")->load.on);
}

TEST(SimInstruments, are_refused_by_the_driver_with_a_wrong_identity) {
  Bay bay(true);
  bay.bench.instrument("bay-1.load")->set_fault(SimInstrument::Fault::wrong_identity, true);
  auto load = bay.instrument("bay-1.load", bay.load_profile_);
  const auto connected = bay.wait(load->connect());
  ASSERT_FALSE(connected);
  EXPECT_NE(connected.error().line().find("Elsewhere"), std::string::npos);
}

TEST(SimInstruments, trip_above_their_own_protection) {
  Bay bay(true);
  bay.bench.plug("bay-1", make_battery("cell:sound").value()).value();
  bay.ask("bay-1.load", "CURR:PROT 20;:CURR:PROT:STAT ON;:CURR 25;:INP ON");
  EXPECT_EQ(bay.ask("bay-1.load", "INP?;:CURR:PROT:TRIP?;:STAT:QUES:COND?"), "0;1;2\n");
}

TEST(SimInstruments, are_off_with_default_limits_after_a_power_cycle) {
  Bay bay(true);
  bay.bench.plug("bay-1", make_battery("cell:sound").value()).value();
  bay.ask("bay-1.load", "*ESR?;CURR:PROT 20;:CURR:PROT:STAT ON;:INP:CUT 10.5;:CURR 5;:INP ON");
  bay.bench.instrument("bay-1.load")->power_cycle();
  EXPECT_EQ(bay.ask("bay-1.load", "*ESR?;INP?;:CURR?;:CURR:PROT:STAT?;:INP:CUT?"), "128;0;0.000;0;0.000\n");
}

}  // namespace
}  // namespace leadwright
