// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/hand.h"

#include <algorithm>

namespace leadwright {

namespace {

constexpr int turns_after_refusal = 6;
// The daemon rebuilds its snapshot at most twice a second: what was changed may show a turn later.
constexpr int turns_until_shown = 2;

/// A bay can do a charging place's work; the other way it can't.
bool serves(const std::string& kind, const std::string& wanted) {
  return kind == wanted || (kind == "bay" && wanted == "charging");
}

std::string padded(std::string text, std::size_t width) {
  text.resize(std::max(text.size(), width), ' ');
  return text + "  ";
}

}  // namespace

Result<void> Hand::drop_off() {
  for (const ScenarioBattery& battery : batteries_) {
    auto shelved = world_.bench("add " + battery.serial + " " + battery.simulated);
    if (!shelved) return pass(shelved);
    auto opened = world_.api("POST", "/api/v1/tickets", battery.drop_off);
    if (!opened) return pass(opened);
    const std::string ticket = json_member(*opened, "ticket");
    if (ticket.empty()) return fail(Errc::garbled, "no ticket in the answer", "POST /api/v1/tickets");
    serials_[ticket] = &battery;
    world_.say("dropped off: " + ticket + "  " + battery.serial + ", " + battery.what);
  }
  return {};
}

Result<bool> Hand::turn() {
  auto body = world_.api("GET", "/api/v1/bench", "");
  if (!body) return pass(body);
  auto view = read_bench_view(*body);
  if (!view) return pass(view);
  view_ = std::move(*view);
  tell_changes();
  if (is_over()) return true;
  for (auto& [what, turns] : waits_) turns = std::max(turns - 1, 0);
  answer_questions();
  carry();
  start_ready();
  return false;
}

std::size_t Hand::graded() const {
  std::size_t count = 0;
  for (const auto& [ticket, battery] : serials_) {
    const QueueView* entry = view_.ticket(ticket);
    if (entry && !entry->grade.empty()) ++count;
  }
  return count;
}

bool Hand::is_over() const {
  return std::all_of(serials_.begin(), serials_.end(), [this](const auto& each) {
    const QueueView* entry = view_.ticket(each.first);
    if (!entry) return false;
    return !entry->grade.empty() || entry->state == "refused" || entry->state == "held" ||
           entry->state == "closed";
  });
}

std::string Hand::next_of(const QueueView& entry) const {
  return !entry.grade.empty() && serials_.at(entry.ticket)->ends_at_grade ? std::string() : entry.next;
}

void Hand::tell_changes() {
  const auto tell = [this](const std::string& about, const std::string& key, const std::string& line) {
    std::string& last = told_[about];
    if (last == key) return;
    last = key;
    world_.say(view_.at + "  " + line);
  };
  for (const PlaceView& place : view_.places) {
    if (place.kind == "shelf") continue;
    const std::string doing = place.procedure.empty() ? place.doing : place.procedure + ": " + place.step;
    const std::string key = place.ticket + place.activity + doing + place.ask;
    std::string line = padded(place.name, 9) + padded(place.ticket.empty() ? "-" : place.ticket, 11) + doing;
    if (place.activity == "tripped" || place.activity == "out_of_service") line += " (" + place.needs + ")";
    tell(place.name, key, line);
  }
  for (const QueueView& entry : view_.queue) {
    if (entry.grade.empty()) continue;
    tell(entry.ticket, entry.grade, padded(entry.ticket, 9) + "grade " + entry.grade + ": " + entry.reason);
  }
}

bool Hand::waits(const std::string& key) const {
  const auto found = waits_.find(key);
  return found != waits_.end() && found->second > 0;
}

bool Hand::change(const std::string& what, const std::string& path, const std::string& body) {
  int& wait = waits_[path + body];
  if (wait > 0) return false;
  auto answer = world_.api("POST", path, body);
  wait = answer ? turns_until_shown : turns_after_refusal;
  if (answer) return true;
  std::string& last = told_[path];
  if (last != answer.error().line()) {
    last = answer.error().line();
    world_.say(view_.at + "  " + what + " refused: " + last);
  }
  return false;
}

void Hand::answer_questions() {
  for (const PlaceView& place : view_.places) {
    if (place.ask.empty()) continue;
    std::string body = R"({"of":)" + json_quoted(place.ask);
    if (place.ask == "cells") {
      const auto battery = serials_.find(place.ticket);
      body += R"(,"cells":)" + std::to_string(battery == serials_.end() ? 6 : battery->second->cells);
    } else if (place.ask == "same_battery") {
      body += R"(,"answer":"yes")";
    }
    change(place.name + ": answering \"" + place.ask + "\"", "/api/v1/places/" + place.name + "/acknowledge",
           body + "}");
  }
}

const PlaceView* Hand::free_place(const std::string& kind) const {
  for (const PlaceView& place : view_.places) {
    const bool usable =
        place.ticket.empty() && place.activity != "out_of_service" && place.activity != "tripped";
    if (place.kind == kind && (kind == "shelf" || (usable && !waits(place.name)))) return &place;
  }
  return nullptr;
}

bool Hand::wants_move(const QueueView& entry, const PlaceView* at) const {
  const bool on_instruments = at && at->kind != "shelf";
  if (on_instruments && at->activity == "running") return false;
  if (next_of(entry).empty()) return on_instruments && !entry.grade.empty();
  if (entry.state == "refused" || entry.state == "closed" || entry.state == "held") return on_instruments;
  return !at || !serves(at->kind, entry.next_kind) || (at->kind == "bay" && entry.next_kind != "bay");
}

void Hand::carry() {
  for (const QueueView& entry : view_.queue) {
    if (!serials_.contains(entry.ticket)) continue;
    const PlaceView* at = view_.place(entry.place);
    if (!wants_move(entry, at)) continue;
    const bool done = next_of(entry).empty();
    const PlaceView* to = free_place(done ? "shelf" : entry.next_kind);
    if (!to && at && at->kind != "shelf" && !serves(at->kind, entry.next_kind)) to = free_place("shelf");
    if (to && to != at) move(entry, to->name);
  }
}

void Hand::move(const QueueView& entry, const std::string& to) {
  const std::string& serial = serials_.at(entry.ticket)->serial;
  const std::string body = R"({"place":)" + json_quoted(to) + "}";
  const std::string path = "/api/v1/tickets/" + entry.ticket + "/move";
  if (waits(path + body) || waits(entry.ticket)) return;
  const PlaceView* target = view_.place(to);
  const auto carried =
      world_.bench("move " + serial + " " + (target && target->kind == "shelf" ? "shelf" : to));
  if (!carried) return world_.say(view_.at + "  carrying " + serial + " failed: " + carried.error().line());
  waits_[to] = waits_[entry.place] = waits_[entry.ticket] = turns_until_shown;
  if (change("moving " + entry.ticket + " to " + to, path, body)) {
    world_.say(view_.at + "  " + padded(entry.ticket, 9) + "carried to " + to);
    return;
  }
  const PlaceView* from = view_.place(entry.place);
  const bool from_shelf = !from || from->kind == "shelf";
  if (auto back = world_.bench("move " + serial + " " + (from_shelf ? "shelf" : entry.place)); !back) {
    world_.say(view_.at + "  carrying " + serial + " back failed: " + back.error().line());
  }
}

void Hand::start_ready() {
  for (const PlaceView& place : view_.places) {
    const QueueView* entry = view_.ticket(place.ticket);
    const bool mine = entry && serials_.contains(entry->ticket) && !waits(place.name);
    if (!mine || place.activity != "ready" || !place.ask.empty()) continue;
    if (next_of(*entry).empty() || !serves(place.kind, entry->next_kind)) continue;
    if (!cautions_read_) {
      cautions_read_ = change(place.name + ": reading the cautions",
                              "/api/v1/places/" + place.name + "/acknowledge", R"({"of":"cautions"})");
    }
    change("starting " + entry->next + " at " + place.name, "/api/v1/places/" + place.name + "/start", "{}");
  }
}

std::vector<std::string> Hand::table() const {
  std::size_t label = 7;
  for (const QueueView& entry : view_.queue) label = std::max(label, entry.label.size());
  std::vector<std::string> lines{padded("ticket", 10) + padded("battery", label) + padded("grade", 5) +
                                 padded("state", 10) + "reason"};
  for (const QueueView& entry : view_.queue) {
    lines.push_back(padded(entry.ticket, 10) + padded(entry.label, label) +
                    padded(entry.grade.empty() ? "-" : entry.grade, 5) + padded(entry.state, 10) +
                    entry.reason);
  }
  return lines;
}

}  // namespace leadwright
