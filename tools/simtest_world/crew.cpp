// SPDX-License-Identifier: Apache-2.0
#include "tools/simtest_world/crew.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <functional>
#include <map>

#include "daemon/queue/planner.h"
#include "tools/benchsim/battery_spec.h"

namespace leadwright {

namespace {

constexpr std::array people{"hand 1", "hand 2", "hand 3"};
/// Of those that err: how much rarer the grave ones are than the shape says.
constexpr double stops_all_share = 0.1;

struct Kind {
  const char* spec;
  const char* chemistry;
  int cells;
};
constexpr std::array kinds{Kind{"cell:sound", "flooded", 6},         Kind{"cell:sound", "agm", 6},
                           Kind{"cell:sound,charged=0.6", "efb", 6}, Kind{"cell:discharged", "flooded", 6},
                           Kind{"cell:discharged", "gel", 6},        Kind{"cell:worn", "flooded", 6},
                           Kind{"cell:weak_cell", "flooded", 6},     Kind{"cell:shorted_cell", "flooded", 6},
                           Kind{"cell:open", "flooded", 6},          Kind{"cell:high_resistance", "agm", 6},
                           Kind{"cell:sulphated", "flooded", 6},     Kind{"cell:dried_out", "agm", 6},
                           Kind{"cell:reversed_cell", "flooded", 6}, Kind{"cell:reversed", "flooded", 6},
                           Kind{"cell:six_volt", "flooded", 3},      Kind{"lithium", "lithium", 6}};
/// What a customer asks for; empty: the whole chain.
constexpr std::array wishes{"",
                            "",
                            R"("reserve capacity")",
                            R"("standard charge","reserve capacity")",
                            R"("intake check","reserve capacity")",
                            R"("intake check")",
                            R"("intake check","internal resistance")",
                            R"("standard charge")",
                            R"("half-CCA load test")",
                            R"("standard charge","half-CCA load test")",
                            R"("three-minute charge","half-CCA load test")",
                            R"("recharge before leaving")"};
/// Minutes at 25 A of a sound one of this size, which are all that its label says: worked out once.
double sound_minutes_at_25a(double c20_ah, int cells) {
  thread_local std::map<std::string, double> known;
  const std::string spec = fmt::format("cell:sound,c20_ah={:.0f},cells={}", c20_ah, cells);
  const auto found = known.find(spec);
  if (found != known.end()) return found->second;
  return known[spec] = as_minutes((*make_battery(spec))->truth_at_25a());
}

}  // namespace

std::string Crew::somebody() {
  return dice_.pick(people);
}

void Crew::ask(const std::string& verb, const std::string& subject, const std::string& body) {
  if (!world_.is_alive()) return;
  Request request{verb, subject, body, somebody(), {}};
  note(fmt::format("{}: {} {} {}", request.actor, verb, subject, body));
  on_request(request);
  tally_.add("requests");
  const TicketFile* const file = world_.bench().ledger().find_shown(subject);
  const std::string stood_at = file != nullptr ? file->ticket.place : std::string();
  const Instant asked_at = world_.clock().now();
  world_.bench().handle(request, [this, request, asked_at, stood_at](Response response) {
    note(fmt::format("answer {} to {} {}: {}", response.status, request.verb, request.subject,
                     response.status < 300 ? "" : response.body));
    on_answer({request, response, asked_at, stood_at});
  });
}

bool Crew::errs(const char* name) {
  const auto found = shape_.mistakes.find(name);
  if (found == shape_.mistakes.end()) return false;
  const double share = found->first == "person.stops_all" ? found->second * stops_all_share : found->second;
  if (!dice_.chance(share)) return false;
  tally_.add(std::string("fault ") + name);
  return true;
}

std::string Crew::clamped(const std::string& place) const {
  const StandingBattery* there = world_.sim().terminals(place)->battery();
  return there == nullptr ? std::string() : there->name;
}

const TicketFile* Crew::ticket_at(const Place& place) const {
  return place.kind() == PlaceKind::shelf ? nullptr : world_.bench().ledger().at_place(place.name());
}

std::vector<std::string> Crew::equipped_places() const {
  return world_.sim().place_names();
}

std::vector<const TicketFile*> Crew::open_tickets() const {
  std::vector<const TicketFile*> open;
  for (const auto& [id, file] : world_.bench().ledger().files()) {
    if (file.ticket.state != TicketState::closed) open.push_back(&file);
  }
  return open;
}

const Place* Crew::free_place(PlaceKind wanted, bool reserved_too) const {
  const auto serves = [&](const auto& place, bool exactly) {
    const bool fits = exactly ? place->kind() == wanted : place_serves(place->kind(), wanted);
    if (is_reserved(*place) && !reserved_too) return false;
    return fits && place->kind() != PlaceKind::shelf && place->run() == nullptr &&
           ticket_at(*place) == nullptr;
  };
  const auto& places = world_.bench().places();
  for (const bool exactly : {true, false}) {
    const auto found =
        std::ranges::find_if(places, [&](const auto& place) { return serves(place, exactly); });
    if (found != places.end()) return found->get();
  }
  return nullptr;
}

std::string Crew::new_battery(const std::string& spec) {
  auto made = make_battery(spec);
  auto counting = std::make_unique<CountingBattery>(std::move(*made));
  std::string name = fmt::format("B{}", ++brought_);
  batteries_.insert(name);
  note(fmt::format("{} is brought: {}", name, spec));
  (void)world_.sim().shelve(name, std::move(counting));
  return name;
}

void Crew::write_ticket(const std::string& battery, const std::string& chemistry, int cells, double c20_ah,
                        const std::string& procedures) {
  // Labels say a little less or more than a sound one of its size gives.
  const double minutes_at_25a = sound_minutes_at_25a(c20_ah, cells) * dice_.between(0.7, 1.1);
  std::string rated;
  if (minutes_at_25a >= 10.0 && dice_.chance(0.8)) {
    rated =
        fmt::format(R"(,"reserve_capacity_min":{:.0f},"reserve_capacity_standard":"sae")", minutes_at_25a);
  }
  // Cranking current by some twelve times the capacity (from memory): heavy draws for all but the smallest.
  if (dice_.chance(0.8)) rated += fmt::format(R"(,"cca_a":{:.0f},"cca_standard":"en")", 12.0 * c20_ah);
  ask("ticket.add", "",
      fmt::format(R"({{"battery":{{"serial":"{}","chemistry":"{}","cells":{},"c20_ah":{:.0f}{}}},)"
                  R"("procedures":[{}]}})",
                  battery, chemistry, cells, c20_ah, rated, procedures));
}

void Crew::drop_off() {
  if (open_tickets().size() >= shape_.tickets_max) return;
  const Kind& kind = dice_.pick(kinds);
  // Small ones make short runs.
  const double c20_ah = dice_.chance(0.6) ? dice_.between(5.0, 20.0) : dice_.between(30.0, 90.0);
  std::string spec = kind.spec;
  if (spec != "lithium")
    spec += fmt::format(",c20_ah={:.0f},ambient_degc={:.0f}", c20_ah, dice_.between(5, 40));
  const std::string name = new_battery(spec);
  const bool wrong = errs("person.wrong_label");
  write_ticket(name, wrong ? "flooded" : kind.chemistry, wrong ? 9 - kind.cells : kind.cells, c20_ah,
               dice_.pick(wishes));
}

void Crew::carry(const std::string& battery, const std::string& to) {
  if (battery.empty() || !batteries_.contains(battery)) return;
  if (to != SimBench::shelf && !clamped(to).empty() && clamped(to) != battery)
    (void)world_.sim().move(clamped(to), SimBench::shelf);
  note(fmt::format("{} is carried to {}", battery, to));
  (void)world_.sim().move(battery, to);
}

void Crew::bring_to_work() {
  std::vector<const TicketFile*> open = open_tickets();
  if (open.empty()) return;
  const TicketFile& file = *dice_.pick(open);
  const auto next = next_work(file, Policy{});
  if (!next) return;
  const Place* at = world_.bench().place(file.ticket.place);
  if (at != nullptr && at->run() != nullptr) return;
  if (at != nullptr && at->kind() != PlaceKind::shelf && place_serves(at->kind(), next->place_kind)) return;
  const Place* to = free_place(next->place_kind);
  if (to == nullptr) return;
  std::string carried = own_battery(file);
  if (errs("person.wrong_battery")) carried = own_battery(*dice_.pick(open));
  if (!errs("person.not_carried")) carry(carried, to->name());
  ask("ticket.move", shown(file.ticket.id), fmt::format(R"({{"place":"{}"}})", to->name()));
}

void Crew::start(const Place& place, const std::string& procedure) {
  ask("place.start", place.name(),
      procedure.empty() ? "" : fmt::format(R"({{"procedure":"{}"}})", procedure));
}

void Crew::start_somewhere() {
  for (const auto& place : world_.bench().places()) {
    if (place->activity() != Activity::ready || ticket_at(*place) == nullptr || !dice_.chance(0.7)) continue;
    constexpr std::array all{"intake check",       "standard charge",  "internal resistance",
                             "stability rest",     "reserve capacity", "half-CCA load test",
                             "three-minute charge"};
    start(*place, errs("person.out_of_turn") ? dice_.pick(all) : "");
  }
}

void Crew::answer(const Place& place, bool truthfully) {
  const Ask& asked = *place.ask();
  const TicketFile* file = ticket_at(place);
  std::string rest;
  if (asked.of == AskOf::same_battery && file != nullptr) {
    const bool same = clamped(place.name()) == own_battery(*file);
    const bool yes = truthfully ? same : !same;
    if (yes && !same) deceived_.insert(file->ticket.id);
    rest = fmt::format(R"(,"answer":"{}")", yes ? "yes" : "no");
  }
  if (asked.of == AskOf::cells) {
    const StandingBattery* there = world_.sim().terminals(place.name())->battery();
    const int cells = there != nullptr && there->battery->cells() == 3 ? 3 : 6;
    rest = fmt::format(R"(,"cells":{})", truthfully ? cells : 9 - cells);
  }
  if (asked.of == AskOf::clamps && truthfully) spoil_clamps(place.name(), Ohm(0.0));
  ask("place.acknowledge", place.name(), fmt::format(R"({{"of":"{}"{}}})", word(asked.of), rest));
}

void Crew::answer_asks() {
  for (const auto& place : world_.bench().places()) {
    if (!place->ask() || !dice_.chance(0.7)) continue;
    const bool is_cells = place->ask()->of == AskOf::cells;
    answer(*place, !errs(is_cells ? "person.wrong_cells" : "person.wrong_answer"));
  }
}

void Crew::acknowledge_trips() {
  for (const auto& place : world_.bench().places()) {
    if (place->trip().empty() || !dice_.chance(0.5)) continue;
    ask("place.acknowledge", place->name(), R"({"of":"trip","why":"looked at it"})");
  }
}

void Crew::take_up() {
  for (const TicketFile* file : open_tickets()) {
    if (file->ticket.state == TicketState::held && dice_.chance(0.5))
      ask("ticket.recheck", shown(file->ticket.id), "");
  }
}

void Crew::close_some() {
  for (const TicketFile* file : open_tickets()) {
    if (next_work(*file, Policy{}) || !dice_.chance(0.4)) continue;
    constexpr std::array ways{"handed_back", "claimed", "resold", "scrapped"};
    ask("ticket.close", shown(file->ticket.id), fmt::format(R"({{"as":"{}"}})", dice_.pick(ways)));
  }
}

void Crew::careless_turn() {
  if (!world_.is_alive()) return;
  mistake();
  answer_asks();
  acknowledge_trips();
  constexpr std::array acts{&Crew::drop_off,      &Crew::drop_off,        &Crew::bring_to_work,
                            &Crew::bring_to_work, &Crew::start_somewhere, &Crew::start_somewhere,
                            &Crew::take_up,       &Crew::close_some};
  (this->*dice_.pick(acts))();
}

}  // namespace leadwright
