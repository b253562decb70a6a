// SPDX-License-Identifier: Apache-2.0
// What people do who do what they are asked.
#include <fmt/format.h>

#include "daemon/queue/planner.h"
#include "tools/simtest_world/crew.h"

namespace leadwright {

void Crew::spoil_clamps(const std::string& place, Ohm resistance) {
  Terminals& posts = *world_.sim().terminals(place);
  CountingBattery* there = battery(clamped(place));
  if (there == nullptr) return;
  posts.settle(world_.clock().now());
  there->set_clamps(resistance);
  posts.changed();
}

/// What stands there is what the ticket says, and nothing where there is no ticket.
void Crew::put_right(const Place& place) {
  const TicketFile* file = ticket_at(place);
  const std::string there = clamped(place.name());
  const std::string right = file != nullptr ? own_battery(*file) : std::string();
  spoil_clamps(place.name(), Ohm(0.0));
  if (there == right) return;
  if (place.run() != nullptr) {
    ask("place.stop", place.name(), R"({"why":"another battery is clamped on"})");
  } else if (right.empty()) {
    carry(there, std::string(SimBench::shelf));
  } else {
    carry(right, place.name());
  }
}

/// It would wait in line for the load that they share.
bool Crew::is_reserved(const Place& place) const {
  if (reserved_.empty() || place.kind() != PlaceKind::bay) return false;
  const Switchgear gear = shape_.bench.switchgear;
  return place.name() == reserved_ || gear == Switchgear::shared_load || gear == Switchgear::both;
}

void Crew::diligent_turn() {
  if (!world_.is_alive()) return;
  for (const auto& place : world_.bench().places()) {
    if (place->kind() == PlaceKind::shelf) continue;
    put_right(*place);
    if (!place->trip().empty()) ask("place.acknowledge", place->name(), R"({"of":"trip","why":"mended"})");
    if (place->ask()) answer(*place, true);
    // An attended run that was interrupted waits for somebody to look.
    if (place->run() != nullptr && place->run()->progress().what.starts_with("Stands still"))
      ask("place.resume", place->name(), R"({"why":"it looks well"})");
    if (place->activity() == Activity::ready && ticket_at(*place) != nullptr &&
        next_work(*ticket_at(*place), Policy{}) &&
        (!is_reserved(*place) || own_battery(*ticket_at(*place)) == sound_battery_)) {
      start(*place, "");
    }
  }
  for (const TicketFile* file : open_tickets()) {
    const std::string ticket = shown(file->ticket.id);
    if (file->ticket.state == TicketState::held) ask("ticket.recheck", ticket, "");
    const Place* at = world_.bench().place(file->ticket.place);
    if (at != nullptr && at->run() != nullptr) continue;
    const auto next = next_work(*file, Policy{});
    const bool stands_in_the_way = at != nullptr && at->kind() != PlaceKind::shelf &&
                                   (!next || !place_serves(at->kind(), next->place_kind));
    const Place* to = next && (at == nullptr || at->kind() == PlaceKind::shelf || stands_in_the_way)
                          ? free_place(next->place_kind, own_battery(*file) == sound_battery_)
                          : nullptr;
    if (to != nullptr) {
      carry(own_battery(*file), to->name());
      ask("ticket.move", ticket, fmt::format(R"({{"place":"{}"}})", to->name()));
    } else if (stands_in_the_way) {
      carry(own_battery(*file), std::string(SimBench::shelf));
      ask("ticket.move", ticket, R"({"place":"shelf"})");
    }
  }
}

void Crew::bring_sound(const std::string& bay) {
  reserved_ = bay;
  if (!world_.is_alive() || !sound_battery_.empty()) return;
  const Place& place = *world_.bench().place(bay);
  bool is_free = true;
  for (const auto& each : world_.bench().places()) {
    if (each->run() == nullptr || !is_reserved(*each)) continue;
    is_free = false;
    ask("place.stop", each->name(), R"({"why":"room for another one"})");
  }
  if (!is_free) return;
  if (const TicketFile* file = ticket_at(place)) {
    carry(clamped(bay), std::string(SimBench::shelf));
    ask("ticket.move", shown(file->ticket.id), R"({"place":"shelf"})");
  } else {
    const bool is_small = dice_.chance(0.3);
    sound_battery_ = new_battery(is_small ? "cell:six_volt,c20_ah=60" : "cell:sound,c20_ah=60");
    // Where a charge is short, energy must flow both ways.
    write_ticket(sound_battery_, "flooded", is_small ? 3 : 6, 60.0,
                 shape_.hasty ? R"("intake check","standard charge")" : R"("intake check")");
  }
}

}  // namespace leadwright
