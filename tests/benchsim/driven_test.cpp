// SPDX-License-Identifier: Apache-2.0
// The simulated Modbus instruments, the two-quadrant unit and the relay box behind the real driver and their
// profiles, over memory links and virtual time: alone on their lines and together on one.
#include <gtest/gtest.h>

#include "daemon/clock/virtual_clock.h"
#include "drivers/instrument.h"
#include "drivers/line.h"
#include "tests/drivers/keep.h"
#include "tests/drivers/shipped_profile.h"
#include "tools/benchsim/battery_spec.h"
#include "tools/benchsim/benchsim.h"

namespace leadwright {
namespace {

struct Driven {
  explicit Driven(const SimBenchOptions& options) : bench(options, clock), links(clock) {
    bench.add_to(links);
  }

  /// An instrument of the bench with its profile, on its line, which units share.
  std::unique_ptr<Instrument> instrument(const std::string& name, const std::string& profile) {
    const Profile& of =
        *profiles.emplace_back(std::make_unique<Profile>(shipped_profile("simulated_" + profile)));
    const auto address = bench.address(name).value();
    std::shared_ptr<Line>& line = lines[address.line];
    if (!line) {
      auto link = links.make({LinkAddress::Kind::memory, address.line}, of.link.serial);
      line = std::make_shared<Line>(std::move(*link), clock);
    }
    return std::make_unique<Instrument>(
        name, Instrument::Wiring{line, LinkAddress::Kind::memory, address.unit}, of, clock, clock);
  }
  template <class T>
  Result<T> wait(Task<Result<T>> task) {
    std::optional<Result<T>> result;
    const Job job(clock.loop(), keep(std::move(task), result));
    clock.run_until([&result] { return result.has_value(); }, clock.now() + hours(1.0));
    return result ? std::move(*result) : Result<T>(fail(Errc::timed_out, "never ended"));
  }
  /// Nothing, or what went wrong.
  std::string done(Task<Result<void>> task) {
    const Result<void> result = wait(std::move(task));
    return result ? std::string() : result.error().line();
  }

  VirtualClock clock;
  SimBench bench;
  MemoryLinkFactory links;
  std::vector<std::unique_ptr<Profile>> profiles;
  std::map<std::string, std::shared_ptr<Line>> lines;
};

SimBenchOptions all_modbus(SimBenchOptions::SharedLine shared) {
  SimBenchOptions options{1, 1, true, 1, Second(0.0)};
  options.loads = options.chargers = options.thermometers = SimSpeech::modbus;
  options.relay_boxes = 1;
  options.shared_line = shared;
  return options;
}

TEST(DrivenModbus, takes_every_setting_of_the_profiles) {
  Driven world(all_modbus(SimBenchOptions::SharedLine::none));
  world.bench.plug("bay-1", make_battery("cell:sound,charged=0.5").value()).value();
  auto charger = world.instrument("bay-1.charger", "modbus_charger");
  auto load = world.instrument("bay-1.load", "modbus_load");
  EXPECT_EQ(world.done(charger->connect()), "");
  EXPECT_EQ(world.done(load->connect()), "");
  EXPECT_EQ(charger->identity()->simulated_scale, 1.0);
  EXPECT_EQ(world.done(charger->arm_heartbeat()), "");
  EXPECT_EQ(world.done(charger->trip_volts(Volt(15.0))), "");
  EXPECT_EQ(world.done(charger->trip_amps(Ampere(15.0))), "");
  EXPECT_EQ(world.done(charger->set_volts(Volt(14.4))), "");
  EXPECT_EQ(world.done(charger->limit_amps(Ampere(12.0))), "");
  EXPECT_EQ(world.done(charger->enable(true)), "");
  const auto pushed = world.wait(charger->sample());
  ASSERT_TRUE(pushed) << pushed.error().line();
  EXPECT_NEAR(pushed->amps->si(), 12.0, 1e-4);
  EXPECT_EQ(world.done(charger->make_safe()), "");
  EXPECT_EQ(world.wait(charger->faults()).value_or("?"), "");

  EXPECT_EQ(world.done(load->cutoff_volts(Volt(10.5))), "");
  EXPECT_EQ(world.done(load->set_amps(Ampere(25.0))), "");
  EXPECT_EQ(world.done(load->enable(true)), "");
  const auto drawn = world.wait(load->sample());
  ASSERT_TRUE(drawn) << drawn.error().line();
  EXPECT_NEAR(drawn->amps->si(), 25.0, 1e-4);
  const Terminals& posts = *world.bench.terminals("bay-1");
  for (int i = 0; i < 3000 && posts.load.on; ++i) {
    world.clock.run_for(Second(4.0));
    ASSERT_TRUE(world.wait(load->sample())) << "each feeds the watchdog";
  }
  EXPECT_FALSE(posts.load.expired);
  EXPECT_EQ(world.wait(load->faults()).value_or("?"), "low-voltage cut-off");
  EXPECT_EQ(world.done(load->clear_faults()), "");
}

TEST(DrivenModbus, switches_off_by_itself_when_the_daemon_falls_silent) {
  Driven world(all_modbus(SimBenchOptions::SharedLine::none));
  world.bench.plug("bay-1", make_battery("cell:sound").value()).value();
  auto load = world.instrument("bay-1.load", "modbus_load");
  EXPECT_EQ(world.done(load->connect()), "");
  EXPECT_EQ(world.done(load->arm_heartbeat()), "");
  EXPECT_EQ(world.done(load->set_amps(Ampere(5.0))), "");
  EXPECT_EQ(world.done(load->enable(true)), "");
  Terminals& posts = *world.bench.terminals("bay-1");
  world.clock.run_for(Second(4.9));
  posts.settle(world.clock.now());
  EXPECT_TRUE(posts.load.on);
  world.clock.run_for(Second(0.2));
  posts.settle(world.clock.now());
  EXPECT_FALSE(posts.load.on);
}

TEST(DrivenModbus, shares_one_line_among_all_units) {
  Driven world(all_modbus(SimBenchOptions::SharedLine::all));
  world.bench.plug("bay-1", make_battery("cell:sound,ambient_degc=31").value()).value();
  auto load = world.instrument("bay-1.load", "modbus_load");
  auto charger = world.instrument("charge-1.charger", "modbus_charger");
  auto thermometer = world.instrument("bay-1.thermometer", "modbus_thermometer");
  auto box = world.instrument("box-1", "modbus_relay");
  EXPECT_EQ(world.lines.size(), 1U);
  for (Instrument* each : {load.get(), charger.get(), thermometer.get(), box.get()}) {
    EXPECT_EQ(world.done(each->connect()), "") << each->name();
  }
  const auto degrees = world.wait(thermometer->sample());
  ASSERT_TRUE(degrees) << degrees.error().line();
  EXPECT_NEAR(degrees->temperature->degc(), 31.0, 0.01);
  EXPECT_EQ(world.done(box->set_output(3, true)), "");
  EXPECT_TRUE(world.bench.relay_box("box-1")->relays().is_closed(3));
  world.bench.relay_box("box-1")->relays().set_input(6, true);
  // Input 6, and the mirror contact of output 3.
  EXPECT_EQ(world.wait(box->read_inputs()).value_or(0), 1U << 6U | 1U << 11U);
  EXPECT_EQ(world.done(box->make_safe()), "");
  EXPECT_FALSE(world.bench.relay_box("box-1")->relays().is_closed(3));
}

TEST(DrivenModbus, refuses_a_unit_of_another_kind) {
  Driven world(all_modbus(SimBenchOptions::SharedLine::none));
  ASSERT_TRUE(world.bench.swap_lines("bay-1.load", "bay-1.charger"));
  auto load = world.instrument("bay-1.load", "modbus_load");
  EXPECT_NE(world.done(load->connect()), "");
}

TEST(DrivenModbus, finds_that_a_relay_ignored_its_command) {
  Driven world(all_modbus(SimBenchOptions::SharedLine::none));
  auto box = world.instrument("box-1", "modbus_relay");
  EXPECT_EQ(world.done(box->connect()), "");
  world.bench.relay_box("box-1")->set_relay_fault(2, RelayFault::ignored);
  EXPECT_NE(world.done(box->set_output(2, true)), "");
}

TEST(DrivenTwoQuadrant, gives_and_takes_through_one_profile) {
  SimBenchOptions options{1, 0, true, 1, Second(0.0)};
  options.two_quadrant = true;
  Driven world(options);
  world.bench.plug("bay-1", make_battery("cell:sound,charged=0.5").value()).value();
  auto unit = world.instrument("bay-1.two_quadrant", "two_quadrant");
  EXPECT_EQ(world.done(unit->connect()), "");
  EXPECT_EQ(world.done(unit->trip_volts(Volt(15.0))), "");
  EXPECT_EQ(world.done(unit->trip_amps(Ampere(30.0))), "");
  EXPECT_EQ(world.done(unit->set_volts(Volt(14.4))), "");
  EXPECT_EQ(world.done(unit->limit_amps(Ampere(12.0))), "");
  EXPECT_EQ(world.done(unit->enable(Capability::give, true)), "");
  EXPECT_EQ(world.wait(unit->sample())->amps, Ampere(12.0));
  EXPECT_NE(world.done(unit->enable(Capability::draw, true)), "") << "never both";
  EXPECT_EQ(world.done(unit->make_safe()), "");
  EXPECT_EQ(world.done(unit->cutoff_volts(Volt(10.5))), "");
  EXPECT_EQ(world.done(unit->set_amps(Ampere(25.0))), "");
  EXPECT_EQ(world.done(unit->enable(Capability::draw, true)), "");
  EXPECT_EQ(world.wait(unit->sample())->amps, Ampere(-25.0));
  EXPECT_EQ(world.done(unit->make_safe()), "");
  EXPECT_FALSE(world.bench.terminals("bay-1")->load.on);
}

}  // namespace
}  // namespace leadwright
