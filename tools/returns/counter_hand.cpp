// SPDX-License-Identifier: Apache-2.0
#include "tools/returns/counter_hand.h"

#include <fmt/format.h>

#include <cmath>

#include "daemon/grading/signs.h"
#include "daemon/store/json.h"
#include "tools/benchsim/battery_spec.h"
#include "tools/benchsim/loose_clamp.h"

namespace leadwright {

namespace {

constexpr const char* battery_name = "return";
constexpr const char* shelf_name = "shelf";
/// After a start that the bench refused, before somebody tries again; and how often (P).
constexpr Second try_again_after = minutes(30.0);
constexpr int refused_max = 4;
/// The bench looks at its places once a second: so long until what was done shows.
constexpr Second shows_after{2.0};
constexpr Second day = hours(24.0);
/// Between two looks of the bench at an idle place while nobody is there.
constexpr Second rare_look = minutes(10.0);

std::string drop_off_body(const ReturnCase& one, const VisitPlan& plan) {
  std::string label = fmt::format(R"("serial":"{}","chemistry":"flooded","cells":{},"c20_ah":{:.0f})",
                                  battery_name, one.make.cells, as_ampere_hours(one.label_c20));
  if (one.states_cca) label += fmt::format(R"(,"cca_a":{:.0f},"cca_standard":"en")", one.cca.si());
  if (one.states_reserve_capacity) {
    label += fmt::format(R"(,"reserve_capacity_min":{:.0f},"reserve_capacity_standard":"en")",
                         as_minutes(one.rated));
  }
  return fmt::format(R"({{"battery":{{{}}},"inspection":{{"cracked":{}}},"procedures":{}}})", label,
                     one.cracked, strings_json(plan.procedures));
}

}  // namespace

CounterHand::CounterHand(World& world, const ReturnCase& one, const People& people, const Policy& policy,
                         VisitPlan plan)
    : world_(world),
      one_(one),
      people_(people),
      policy_(policy),
      plan_(std::move(plan)),
      random_(one.seed, "hand"),
      began_(world.clock().now()) {
  world_.bench().on_run_ended = [this](const Place&, const RunResult& result) { run_ended(result); };
}

CounterHand::~CounterHand() {
  world_.bench().on_run_ended = nullptr;
}

ReturnVisit CounterHand::handle() {
  drop_off();
  while (!is_done_ && since_arrival() < people_.time_cap) {
    if (due().kind == Act::Kind::none) {
      const Place* here = at();
      const bool waits_for_gas = here != nullptr && here->activity() != Activity::running && !may_move(here);
      const Instant gone = waits_for_gas ? *file().charged_at + Precautions{}.gas_off : Instant::never();
      wait(std::min({gone, stands_until(), began_ + people_.time_cap}));
      continue;
    }
    come();
    const Act act = due();
    if (act.kind == Act::Kind::none) continue;
    perform(act);
    ++visit_.acts;
  }
  if (!is_done_) give_up("not finished within the time cap");
  if (!ticket_.empty()) take_down(file());
  return std::move(visit_);
}

void CounterHand::take_down(const TicketFile& file) {
  visit_.grade = file.grade;
  for (const Fault& fault : file.faults) visit_.told.emplace_back(word(fault.kind));
  const Evidence evidence = evidence_of(file, world_.bench().ledger(), Utc());
  for (const Sign& sign : signs_of(evidence, policy_)) visit_.told.emplace_back(word(sign.kind));
}

void CounterHand::drop_off() {
  (void)world_.sim().shelve(
      battery_name, std::make_unique<LooseClamp>(std::make_unique<CellBattery>(one_.today()), contact_));
  take(people_.ticket);
  ++visit_.acts;
  const Response added = world_.ask("ticket.add", "", drop_off_body(one_, plan_));
  if (added.status != 201) return give_up(added.body);
  ticket_ = shown(world_.bench().ledger().files().rbegin()->first);
  visit_.refused = file().ticket.state == TicketState::refused;
  if (visit_.refused) visit_.decided = since_arrival();
  is_there_ = true;
}

CounterHand::Act CounterHand::due_at_place(const Place& at) const {
  if (!at.trip().empty()) return {Act::Kind::untrip, at.name(), ""};
  if (at.ask() && at.ask()->of != AskOf::cautions) return {Act::Kind::answer, at.name(), ""};
  return {};
}

CounterHand::Act CounterHand::due() {
  const TicketFile& file = this->file();
  const Place* here = at();
  const bool is_clamped = here != nullptr && here->kind() != PlaceKind::shelf;
  if (is_clamped) {
    Act asked = due_at_place(*here);
    if (asked.kind != Act::Kind::none) return asked;
    if (here->activity() != Activity::ready) return {};
  }
  const bool is_stuck = file.ticket.state == TicketState::held || file.ticket.state == TicketState::refused;
  const std::optional<Work> next = is_stuck ? std::nullopt : next_for(file);
  if (!next) return may_move(here) ? Act{Act::Kind::leave, "", ""} : Act{};
  if (next->not_before && world_.clock().utc() < *next->not_before) {
    return is_clamped && may_move(here) ? Act{Act::Kind::move, shelf_name, ""} : Act{};
  }
  const std::string to = place_for(next->place_kind);
  if (is_clamped && here->name() == to) return {Act::Kind::start, to, next->procedure};
  return may_move(here) ? Act{Act::Kind::move, to, ""} : Act{};
}

Instant CounterHand::stands_until() const {
  const auto next = next_work(file(), policy_);
  if (!next || !next->not_before || world_.clock().utc() >= *next->not_before) return Instant::never();
  return now() + (*next->not_before - world_.clock().utc());
}

bool CounterHand::may_move(const Place* at) const {
  const auto& charged_at = file().charged_at;
  return at == nullptr || at->kind() == PlaceKind::shelf || !charged_at ||
         now() >= *charged_at + Precautions{}.gas_off;
}

std::string CounterHand::place_for(PlaceKind kind) const {
  for (const bool exactly : {true, false}) {
    for (const auto& place : world_.bench().places()) {
      if (exactly ? place->kind() == kind : place_serves(place->kind(), kind)) return place->name();
    }
  }
  return shelf_name;
}

void CounterHand::perform(const Act& act) {
  switch (act.kind) {
    case Act::Kind::untrip:
      take(people_.answer);
      (void)world_.ask("place.acknowledge", act.place, R"({"of":"trip","why":"looked at it"})");
      world_.clock().run_for(shows_after);
      break;
    case Act::Kind::answer:
      take(people_.answer);
      if (const Place* here = world_.bench().place(act.place); here->ask()) answer(*here);
      world_.clock().run_for(shows_after);
      break;
    case Act::Kind::move:
      move(act.place);
      break;
    case Act::Kind::start:
      start(act.place, act.procedure);
      break;
    case Act::Kind::leave:
      leave();
      break;
    case Act::Kind::none:
      break;
  }
  is_there_ = true;
}

/// Truthfully: it is the right battery, the right way round, and nothing looks bad.
void CounterHand::answer(const Place& at) {
  const AskOf of = at.ask()->of;
  std::string rest;
  if (of == AskOf::clamps) *contact_ = Ohm();
  if (of == AskOf::same_battery) rest = R"(,"answer":"yes")";
  if (of == AskOf::question) rest = R"(,"answer":"no")";
  if (of == AskOf::cells) rest = fmt::format(R"(,"cells":{})", one_.make.cells);
  const std::string body = fmt::format(R"({{"of":"{}"{}}})", word(of), rest);
  const Response answered = world_.ask("place.acknowledge", at.name(), body);
  if (answered.status >= 300) give_up(answered.body);
}

void CounterHand::unclamp() {
  if (!is_clamped_) return;
  take(people_.unclamp);
  visit_.stays.back().to = since_arrival();
  is_clamped_ = false;
  (void)world_.sim().unplug(battery_name);
}

void CounterHand::move(const std::string& to) {
  unclamp();
  take(people_.carry);
  *contact_ = one_.clamp;
  (void)world_.sim().move(battery_name, to);
  const Response moved = world_.ask("ticket.move", ticket_, fmt::format(R"({{"place":"{}"}})", to));
  if (moved.status != 200) return give_up(moved.body);
  is_clamped_ = to != shelf_name;
  visit_.stays.push_back({world_.bench().place(to)->kind(), since_arrival(), since_arrival()});
  world_.clock().run_for(shows_after);
}

void CounterHand::start(const std::string& place, const std::string& procedure) {
  take(people_.start);
  if (!cautions_until_ || now() >= *cautions_until_) {
    (void)world_.ask("place.acknowledge", place, R"({"of":"cautions"})");
    cautions_until_ = now() + Bench::shift - minutes(1.0);
  }
  const bool is_asked = procedure_needs_word(procedure);
  const std::string body =
      fmt::format(R"({{"procedure":"{}"{}}})", procedure, is_asked ? R"(,"consented_by":"owner")" : "");
  const Response started = world_.ask("place.start", place, body);
  world_.clock().run_for(shows_after);
  if (started.status == 202 || world_.bench().place(place)->ask()) return;
  refused(started.body);
  if (!is_done_) wait(now() + try_again_after);
}

void CounterHand::refused(const std::string& why) {
  if (!wishes_.empty()) {
    wishes_.clear();
  } else if (++refused_ >= refused_max) {
    give_up(why);
  }
}

void CounterHand::leave() {
  const TicketFile& file = this->file();
  const std::string held = file.ticket.state == TicketState::held ? file.ticket.state_reason : std::string();
  const bool is_useless = !file.grade || file.grade->letter == 'D' || file.grade->letter == 'F';
  unclamp();
  take(people_.close);
  const Response closed =
      world_.ask("ticket.close", ticket_, is_useless ? R"({"as":"scrapped"})" : R"({"as":"handed_back"})");
  if (closed.status != 200) return give_up(closed.body);
  visit_.left = since_arrival();
  if (!file.grade && !visit_.refused)
    visit_.unfinished = held.empty() ? "nothing was left to do, and there is no grade" : held;
  is_done_ = true;
}

void CounterHand::give_up(const std::string& why) {
  if (is_clamped_) visit_.stays.back().to = since_arrival();
  visit_.unfinished = why;
  is_done_ = true;
}

void CounterHand::look_every(Second period) {
  for (const auto& place : world_.bench().places()) place->look_every(period);
}

void CounterHand::wait(Instant until) {
  is_there_ = false;
  look_every(rare_look);
  const Place* here = at();
  const bool was_running = here != nullptr && here->activity() == Activity::running;
  const auto changed = [here, was_running] {
    return here != nullptr && (here->ask().has_value() || !here->trip().empty() ||
                               (was_running && here->activity() != Activity::running));
  };
  world_.clock().run_until(changed, until);
  if (now() < until && !changed()) world_.clock().run_for(until - now());
  look_every(Place::idle_period);
  // The bench goes on by itself where it can, and says so within its next look.
  world_.clock().run_for(shows_after);
}

void CounterHand::come() {
  Second notice;
  if (!is_there_) {
    const double share = 0.5 * (random_.even() + 1.0);
    notice = Second(people_.notice_s.least + (people_.notice_s.most - people_.notice_s.least) * share);
  }
  const Second of_day = one_.arrives + since_arrival();
  const Second since_midnight(std::fmod(of_day.si(), day.si()));
  if (since_midnight < people_.opens) {
    notice += people_.opens - since_midnight;
  } else if (since_midnight + notice > people_.closes) {
    notice += day - since_midnight + people_.opens;
  }
  if (notice <= Second(0.0)) return;
  look_every(rare_look);
  world_.clock().run_for(notice);
  look_every(Place::idle_period);
}

void CounterHand::take(Second time) {
  visit_.hands_on += time;
  world_.clock().run_for(time);
}

}  // namespace leadwright
