// SPDX-License-Identifier: Apache-2.0
// What people do who err, or who can't wait.
#include <fmt/format.h>

#include <array>

#include "tools/simtest_world/crew.h"

namespace leadwright {

namespace {

/// Each of the people is asked about the cautions.
constexpr int attempts_of_hurry = 6;

constexpr std::array odd_bodies{"",
                                "{",
                                R"({"of":"everything"})",
                                R"({"why":1})",
                                R"({"place":"bay-9"})",
                                R"({"procedure":"magic"})",
                                R"({"as":"lost"})",
                                R"({"until":"tomorrow"})"};
constexpr std::array odd_verbs{"ticket.add",      "ticket.move", "ticket.close", "ticket.hold",
                               "ticket.recheck",  "place.start", "place.stop",   "place.acknowledge",
                               "run.trace",       "ticket.show", "ticket.list",  "place.list",
                               "instrument.list", "metrics",     "bench.paint"};

}  // namespace

void Crew::odd_request() {
  const auto& files = world_.bench().ledger().files();
  std::string subject = dice_.chance(0.5) ? dice_.pick(equipped_places()) : "shelf";
  if (!files.empty() && dice_.chance(0.5)) subject = shown(files.rbegin()->first);
  ask(dice_.pick(odd_verbs), subject, dice_.pick(odd_bodies));
}

/// Whoever can't wait for the gas of a charge to go takes the battery off, or wants the load test at once and
/// asks for it until the gas has gone.
void Crew::hurry() {
  for (const auto& place : world_.bench().places()) {
    const TicketFile* const file = ticket_at(*place);
    if (file == nullptr || place->run() != nullptr || !file->charged_at) continue;
    if (world_.clock().now() - *file->charged_at > shape_.gas_off) continue;
    if (in_haste_.contains(file->ticket.id)) {
      load_at_once(*file);
    } else if (!errs("person.hurries")) {
      continue;
    } else if (dice_.chance(0.5)) {
      in_haste_.insert(file->ticket.id);
      load_at_once(*file);
    } else {
      take_to(*file, std::string(SimBench::shelf), dice_.chance(0.3) ? "its owner waits" : "");
    }
  }
}

void Crew::take_to(const TicketFile& file, const std::string& place, const std::string& why) {
  const std::string said = why.empty() ? why : fmt::format(R"(,"why":"{}")", why);
  ask("ticket.move", shown(file.ticket.id), fmt::format(R"({{"place":"{}"{}}})", place, said));
  if (file.ticket.place == place) carry(own_battery(file), place);
}

void Crew::load_at_once(const TicketFile& file) {
  const Place* bay = world_.bench().place(file.ticket.place);
  if (bay->kind() != PlaceKind::bay) {
    bay = free_place(PlaceKind::bay);
    if (bay == nullptr) return;
    take_to(file, bay->name(), "the load test can't wait");
  }
  // Whatever is asked first is answered at once.
  for (int attempt = 0; attempt < attempts_of_hurry; ++attempt) {
    if (bay->ask()) answer(*bay, true);
    start(*bay, "half-CCA load test");
    if (!bay->ask()) break;
  }
}

void Crew::mistake() {
  const std::vector<const TicketFile*> open = open_tickets();
  const std::string place = dice_.pick(equipped_places());
  if (errs("person.odd_request")) odd_request();
  if (errs("person.stops")) ask("place.stop", place, R"({"why":"changed my mind"})");
  if (errs("person.stops_all")) ask("stop.all", "", R"({"why":"looked wrong"})");
  if (open.empty()) return;
  hurry();
  const std::string ticket = shown(dice_.pick(open)->ticket.id);
  if (errs("person.holds")) ask("ticket.hold", ticket, R"({"until":"2026-01-02"})");
  if (errs("person.closes")) {
    constexpr std::array ways{"handed_back", "claimed", "resold", "scrapped"};
    ask("ticket.close", ticket, fmt::format(R"({{"as":"{}"}})", dice_.pick(ways)));
  }
  if (errs("person.carries_off")) carry(clamped(place), std::string(SimBench::shelf));
}

}  // namespace leadwright
