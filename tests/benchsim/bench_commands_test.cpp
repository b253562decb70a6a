// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/bench_commands.h"

#include <gtest/gtest.h>

#include "daemon/clock/virtual_clock.h"

namespace leadwright {
namespace {

struct BenchWorld {
  static SimBenchOptions options() {
    SimBenchOptions options{2, 1, true, 1, Second(0.0)};
    options.shared_loads = 1;
    return options;
  }
  VirtualClock clock;
  SimBench bench{options(), clock};
  std::string operator()(std::string_view command) { return bench_command(bench, command); }
};

/// The same with a relay box.
struct RelayWorld {
  static SimBenchOptions options() {
    SimBenchOptions options = BenchWorld::options();
    options.relay_boxes = 1;
    return options;
  }
  VirtualClock clock;
  SimBench bench{options(), clock};
  std::string operator()(std::string_view command) { return bench_command(bench, command); }
};

TEST(BenchCommands, tell_the_truth_and_why_nothing_can_be_charged) {
  BenchWorld world;
  const std::string file =
      std::string(LEADWRIGHT_SOURCE_DIR) + "/tests/reference/porous-electrode/A/A_44ah_25a.csv";
  world("plug bay-1 replay:" + file);
  // 90.589 min: the trace's sidecar.
  EXPECT_EQ(world("truth bay-1").substr(0, 14), "ok: 90.589 min");
  EXPECT_EQ(world("truth bay-1").find("takes no charge"), std::string::npos) << "full, it takes a little";
  world.bench.battery("bay-1")->battery->advance(Second(60.0), Ampere(25.0));
  EXPECT_NE(world("truth bay-1").find("takes no charge"), std::string::npos);
}

TEST(BenchCommands, switch_faults_and_power) {
  BenchWorld world;
  EXPECT_EQ(world("fault bay-1.load ignores_off on"), "ok");
  EXPECT_TRUE(world.bench.instrument("bay-1.load")->has_fault(SimInstrument::Fault::ignores_off));
  EXPECT_EQ(world("fault bay-1.load ignores_off off"), "ok");
  EXPECT_FALSE(world.bench.instrument("bay-1.load")->has_fault(SimInstrument::Fault::ignores_off));
  EXPECT_EQ(world("power bay-1.load"), "ok");
  EXPECT_EQ(world("fault bay-1.load sings on").substr(0, 5), "error");
  EXPECT_EQ(world("fault bay-9.load ignores_off on").substr(0, 5), "error");
}

TEST(BenchCommands, answer_one_line_to_anything) {
  BenchWorld world;
  for (const char* line : {"",
                           " ",
                           "plug",
                           "plug bay-1",
                           "move",
                           "move a",
                           "move a b",
                           "frobnicate x",
                           "truth x",
                           "fault",
                           "power",
                           "unplug x",
                           "add x nonsense",
                           "cable",
                           "cable x out",
                           "cable bay-1.load sings",
                           "swap bay-1.load",
                           "swap a b",
                           "wire",
                           "wire a b c",
                           "relay",
                           "relay box-1.0 welded",
                           "input box-1.0 on",
                           "contacts box-1",
                           "mains",
                           "mains bay-1.load",
                           "mains bay-1.load back on"}) {
    const std::string answer = world(line);
    EXPECT_EQ(answer.substr(0, 5), "error") << line;
    EXPECT_EQ(answer.find('\n'), std::string::npos) << line;
  }
}

TEST(BenchCommands, take_the_mains_away_and_give_them_back) {
  BenchWorld world;
  EXPECT_EQ(world("mains bay-1.load out"), "ok");
  EXPECT_FALSE(world.bench.instrument("bay-1.load")->has_mains());
  EXPECT_EQ(world("mains bay-1.load back as_it_was"), "ok");
  EXPECT_TRUE(world.bench.instrument("bay-1.load")->has_mains());
}

TEST(BenchCommands, handle_the_cable_of_a_line) {
  BenchWorld world;
  Cable& cable = *world.bench.line("bay-1.load")->cable();
  EXPECT_EQ(world("cable bay-1.load late 0.5 times 2"), "ok");
  EXPECT_FALSE(cable.is_quiet());
  EXPECT_EQ(world("cable bay-1.load out"), "ok");
  EXPECT_TRUE(cable.is_out(world.clock.now()));
  EXPECT_EQ(world("cable bay-1.load in"), "ok");
  EXPECT_FALSE(cable.is_out(world.clock.now()));
  EXPECT_EQ(world("cable bay-1.load take"), "ok");
  EXPECT_TRUE(cable.is_taken());
  EXPECT_EQ(world("cable bay-1.load mend"), "ok");
  EXPECT_FALSE(cable.is_taken());
  EXPECT_TRUE(cable.is_quiet());
  EXPECT_NE(world("cable bay-1.load soon").find("no such fault of a line: soon"), std::string::npos);
}

TEST(BenchCommands, wire_relays_and_tell_what_they_did) {
  RelayWorld world;
  EXPECT_EQ(world("wire box-1.0 isolates bay-1"), "ok");
  EXPECT_EQ(world("wire box-1.1 connects load-1 to charge-1"), "ok");
  EXPECT_EQ(world("relay box-1.1 welded"), "ok");
  EXPECT_EQ(world("input box-1.7 on"), "ok");
  EXPECT_EQ(world("contacts box-1"),
            "ok: coils 00000000, contacts 01000000, inputs 00000001, each from 0 to 7");
  EXPECT_EQ(world("joined"), "ok: never");
  EXPECT_NE(world("instruments").find("box-1 on box-1 as unit 1"), std::string::npos);
  EXPECT_NE(world("lines").find("box-1.tcp Modbus TCP"), std::string::npos);
}

TEST(BenchCommands, say_when_batteries_were_joined) {
  VirtualClock clock;
  SimBenchOptions options = RelayWorld::options();
  options.charging_places = 2;
  SimBench bench(options, clock);
  for (const char* line : {"wire box-1.1 connects load-1 to charge-1",
                           "wire box-1.2 connects load-1 to charge-2", "plug charge-1 cell:sound",
                           "plug charge-2 cell:discharged", "relay box-1.1 welded", "relay box-1.2 welded"}) {
    EXPECT_EQ(bench_command(bench, line).substr(0, 2), "ok") << line;
  }
  EXPECT_EQ(bench_command(bench, "joined").substr(0, 35), "ok: charge-1 and charge-2 at 0.000 ");
}

TEST(BenchCommands, all_have_a_line_of_help) {
  const std::string help = bench_command_help();
  for (const char* verb :
       {"plug", "add", "move", "unplug", "fault", "power", "mains", "cable", "swap", "wire", "relay", "input",
        "contacts", "joined", "truth", "posts", "list", "instruments", "lines"}) {
    EXPECT_NE(help.find(std::string("  ") + verb + " "), std::string::npos) << verb;
  }
}

}  // namespace
}  // namespace leadwright
