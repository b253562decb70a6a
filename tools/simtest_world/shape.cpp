// SPDX-License-Identifier: Apache-2.0
#include "tools/simtest_world/shape.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "tools/simtest_world/dice.h"

namespace leadwright {

namespace {

/// Mean time between two strikes of one kind: from a storm to once in a while.
constexpr double strike_often_s = 90.0;
constexpr double strike_seldom_s = 1800.0;
/// The shorter one lets batteries be carried on within the world's half hour. The longer one outlasts the
/// rest with which every heavy draw begins, so that it alone keeps somebody who hurries from drawing.
constexpr Second gas_off_short{60.0};
constexpr Second gas_off_long{240.0};
/// What of all kinds is on: calm worlds, common ones, storms.
constexpr std::array<double, 5> shares_on{0.03, 0.12, 0.12, 0.25, 0.5};

double log_between(Dice& dice, double least, double most) {
  return least * std::exp(std::log(most / least) * dice.share());
}

bool is_allowed(const FaultName& name, const std::vector<std::string>& ceiling) {
  return ceiling.empty() ||
         std::ranges::any_of(ceiling, [&name](const std::string& word) { return name.starts_with(word); });
}

void shape_bench(WorldOptions& bench, Dice& dice) {
  bench.bays = 1 + dice.below(4);
  bench.charging_places = dice.below(3);
  switch (dice.below(4)) {
    case 0:
      bench.speech = SimSpeech::modbus;
      break;
    case 1:
      bench.chargers = SimSpeech::modbus;
      break;
    default:
      break;
  }
  if (dice.chance(0.15)) {
    bench.speech = SimSpeech::scpi;
    bench.chargers.reset();
    bench.two_quadrant = true;
  }
  const bool may_share = !bench.two_quadrant;
  constexpr std::array gears{Switchgear::none, Switchgear::isolators, Switchgear::shared_load,
                             Switchgear::both};
  if (dice.chance(0.45)) bench.switchgear = may_share ? dice.pick(gears) : gears[dice.below(2)];
  // Eight outputs of one box: isolators of all places, ways of all bays, and the siren.
  if (bench.switchgear == Switchgear::both) {
    bench.bays = std::min(bench.bays, 2);
    bench.charging_places = std::min(bench.charging_places, 2);
  }
  bench.alarms = dice.chance(0.25);
  bench.attended_only = dice.chance(0.15);
  bench.ideal = dice.chance(0.7);
  bench.answer_after = Second(dice.chance(0.5) ? 0.02 : dice.between(0.002, 0.06));
}

void shape_links(FaultPlan& plan, Dice& dice, double share_on, const std::vector<std::string>& ceiling) {
  if (!is_allowed("link.", ceiling)) return;
  const auto draw = [&](const char* name, double& rate, double most) {
    if (dice.chance(share_on) && is_allowed(name, ceiling)) rate = log_between(dice, most / 100.0, most);
  };
  draw("link.drop", plan.drop, 0.01);
  draw("link.flip", plan.flip, 0.005);
  draw("link.duplicate", plan.duplicate, 0.01);
  draw("link.delay", plan.delay, 0.02);
  draw("link.split", plan.split, 0.2);
  draw("link.stall", plan.stall, 0.001);
  draw("link.unplug", plan.unplug, 0.0005);
}

}  // namespace

const std::vector<FaultName>& all_strikes() {
  static const std::vector<FaultName> names{"cable.lost",         "cable.late",        "cable.truncated",
                                            "cable.dropped",      "cable.doubled",     "cable.split",
                                            "cable.flipped",      "cable.rubbish",     "cable.endless",
                                            "cable.pulled",       "cable.taken",       "cable.swapped",
                                            "sim.ignores_off",    "sim.ignores_amps",  "sim.ignores_volts",
                                            "sim.ignores_trips",  "sim.stuck_reading", "sim.reads_tenfold",
                                            "sim.reads_clipped",  "sim.overload",      "sim.no_answer",
                                            "sim.wrong_identity", "sim.busy",          "sim.broken",
                                            "mains.cycled",       "mains.lost",        "mains.back_as_it_was",
                                            "battery.clamp_lost", "battery.clamp_bad", "battery.collapse",
                                            "battery.exchanged",  "store.fail",        "store.stall",
                                            "store.late",         "process.kill",      "box.stuck_open",
                                            "box.welded",         "box.ignored",       "room.stop",
                                            "room.smoke",         "room.gas",          "room.airflow"};
  return names;
}

const std::vector<FaultName>& all_mistakes() {
  static const std::vector<FaultName> names{
      "person.wrong_battery", "person.not_carried", "person.wrong_answer", "person.wrong_cells",
      "person.wrong_label",   "person.odd_request", "person.out_of_turn",  "person.stops",
      "person.stops_all",     "person.holds",       "person.closes",       "person.carries_off",
      "person.hurries"};
  return names;
}

WorldShape shape_of(std::uint64_t seed, const std::vector<std::string>& ceiling) {
  WorldShape shape;
  shape.seed = seed;
  shape.bench.seed = seed;
  Dice bench(seed, "bench");
  shape_bench(shape.bench, bench);
  Dice swarm(seed, "swarm");
  const double share_on = swarm.pick(shares_on);
  for (const FaultName& name : all_strikes()) {
    const bool on = swarm.chance(share_on);
    const Second mean(log_between(swarm, strike_often_s, strike_seldom_s));
    // It strikes only if it finds a contact that is closed at that moment.
    const double misses = name == "box.welded" ? 8.0 : 1.0;
    if (on && is_allowed(name, ceiling)) shape.strikes.emplace(name, mean / misses);
  }
  for (const FaultName& name : all_mistakes()) {
    const bool on = swarm.chance(std::max(share_on, 0.25));
    const double share = log_between(swarm, 0.02, 0.3);
    if (on && is_allowed(name, ceiling)) shape.mistakes.emplace(name, share);
  }
  shape.hasty = bench.chance(0.6);
  shape.gas_off = bench.chance(0.35) ? gas_off_long : gas_off_short;
  shape.links.seed = seed;
  shape_links(shape.links, swarm, share_on, ceiling);
  shape.store.seed = seed;
  shape.turn = Second(swarm.between(5.0, 40.0));
  shape.tickets_max =
      static_cast<std::size_t>(shape.bench.bays) + static_cast<std::size_t>(shape.bench.charging_places) + 2;
  return shape;
}

std::string WorldShape::description() const {
  constexpr std::array gears{"no switchgear", "isolators", "a shared load", "isolators and a shared load"};
  const char* const speech = bench.two_quadrant                    ? "two-quadrant"
                             : bench.speech == SimSpeech::modbus   ? "Modbus"
                             : bench.chargers == SimSpeech::modbus ? "SCPI, chargers Modbus"
                                                                   : "SCPI";
  std::string text = fmt::format(
      "{} bays, {} charging places, {}, {}{}{}{}{}; turns every {:.0f} s; links drop {:.4f} flip {:.4f} "
      "duplicate "
      "{:.4f} delay {:.4f} split {:.4f} stall {:.5f} unplug {:.5f}; gas off after {:.0f} s;",
      bench.bays, bench.charging_places, speech, gears[static_cast<std::size_t>(bench.switchgear)],
      bench.alarms ? ", alarms" : "", bench.attended_only ? ", attended only" : "",
      bench.ideal ? ", ideal" : "", hasty ? ", hasty" : "", turn.si(), links.drop, links.flip,
      links.duplicate, links.delay, links.split, links.stall, links.unplug, gas_off.si());
  for (const auto& [name, mean] : strikes) text += fmt::format(" {} every {:.0f} s", name, mean.si());
  for (const auto& [name, share] : mistakes) text += fmt::format(" {} {:.2f}", name, share);
  return text;
}

}  // namespace leadwright
