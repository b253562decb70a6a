// SPDX-License-Identifier: Apache-2.0
// A bench in a virtual world with one bay and one charging place, for tests of the whole daemon.
#pragma once

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "tools/benchsim/battery_spec.h"
#include "tools/rehearse/world.h"

namespace leadwright {

class WorldTest : public testing::Test {
 protected:
  static constexpr const char* bay = "bay-1";
  static constexpr const char* charging = "charge-1";

  void make_world(WorldOptions options = {}, int charging_places = 1) {
    options.charging_places = charging_places;
    options.config_folder = LEADWRIGHT_SOURCE_DIR "/config";
    auto made = World::make(std::move(options));
    if (!made) {
      for (const Error& error : made.error()) ADD_FAILURE() << error.line();
      GTEST_FAIL();
    }
    world = std::move(*made);
    world->bench().on_run_ended = [this](const Place&, const RunResult& result) {
      results.push_back(result);
    };
  }

  /// Puts a simulated battery on the simulated shelf.
  void bring(const std::string& name, const std::string& spec) {
    auto battery = make_battery(spec);
    ASSERT_TRUE(battery) << battery.error().line();
    const auto shelved = world->sim().shelve(name, std::move(*battery));
    ASSERT_TRUE(shelved) << shelved.error().line();
  }

  /// Opens a ticket for a 60 Ah, 100 min battery. Gives the ticket as shown.
  std::string drop_off(const std::string& serial, const std::string& chemistry = "flooded", int cells = 6,
                       const std::string& procedures = "") {
    const std::string body = R"({"battery":{"serial":")" + serial + R"(","chemistry":")" + chemistry +
                             R"(","cells":)" + std::to_string(cells) +
                             R"(,"c20_ah":60,"reserve_capacity_min":100,"reserve_capacity_standard":"sae"})" +
                             (procedures.empty() ? "" : R"(,"procedures":[")" + procedures + R"("])") + "}";
    const Response added = world->ask("ticket.add", "", body);
    EXPECT_EQ(added.status, 201) << added.body;
    return shown(world->bench().ledger().files().rbegin()->first);
  }

  /// Carries the battery and scans its ticket.
  void carry(const std::string& battery, const std::string& ticket, const std::string& place) {
    const auto moved = world->sim().move(battery, place);
    ASSERT_TRUE(moved) << moved.error().line();
    scan(ticket, place);
  }
  void scan(const std::string& ticket, const std::string& place) {
    const Response moved = world->ask("ticket.move", ticket, R"({"place":")" + place + R"("})");
    ASSERT_EQ(moved.status, 200) << moved.body;
  }
  /// A battery of this kind comes, is carried to the place and its run begins. Gives the ticket.
  std::string begin_run(const std::string& spec, const std::string& procedure,
                        const std::string& place = bay) {
    bring("x", spec);
    const std::string ticket = drop_off("S-1", "flooded", 6, procedure);
    carry("x", ticket, place);
    const Response started = world->start(place);
    EXPECT_EQ(started.status, 202) << started.body;
    return ticket;
  }
  /// Starts and runs to the end of whatever the place then does by itself.
  void work(const std::string& place) {
    const Response started = world->start(place);
    ASSERT_EQ(started.status, 202) << started.body;
    ASSERT_TRUE(world->finish(place));
  }

  /// What the load takes there at this moment.
  Ampere drawn(const std::string& place) {
    world->sim().terminals(place)->settle(world->clock().now());
    return terminals(place).load_amps();
  }
  /// Load and charger are off there at this moment, whatever they said.
  bool is_off(const std::string& place = bay) {
    world->sim().terminals(place)->settle(world->clock().now());
    return !terminals(place).load.on && !terminals(place).charger.on;
  }

  const TicketFile& file(const std::string& ticket) { return *world->bench().ledger().find_shown(ticket); }
  const Terminals& terminals(const std::string& place) { return *world->sim().terminals(place); }
  std::unique_ptr<World> world;
  std::vector<RunResult> results;
};

}  // namespace leadwright
