// SPDX-License-Identifier: Apache-2.0
// The bench as JSON: what the page and the client show. Rebuilt at most twice a machine second, and by
// main a few places at a time.
#include <fmt/format.h>

#include <algorithm>

#include "daemon/battery/forecast_interval.h"
#include "daemon/queue/bench.h"
#include "daemon/queue/cautions.h"
#include "daemon/queue/consent.h"
#include "daemon/queue/needs.h"
#include "daemon/queue/overrule.h"
#include "daemon/queue/place_words.h"
#include "daemon/queue/planner_choices.h"
#include "daemon/queue/problem.h"
#include "daemon/queue/supervision.h"
#include "daemon/store/json.h"
#include "daemon/store/said_json.h"

namespace leadwright {

namespace {

constexpr Second rebuild_period{0.5};
/// Some 100 us of control's time (tools/bench): what a breach at another place may have to wait for.
constexpr std::size_t places_a_turn = 4;
constexpr std::size_t tickets_a_turn = 16;

/// Rounded for people, without a minus before zero; null if missing.
template <class Q>
std::string rounded(const std::optional<Q>& quantity, const char* format) {
  if (!quantity) return "null";
  std::string text = fmt::format(fmt::runtime(format), quantity->si());
  const bool is_zero = text.find_first_of("123456789") == std::string::npos;
  if (is_zero && text.front() == '-') text.erase(0, 1);
  return text;
}

std::string text_or_null(std::string_view text) {
  return text.empty() ? "null" : json_string(text);
}

std::string instruments_json(Place& place) {
  std::string list = "[";
  for (const auto& watch : place.instruments().watches()) {
    if (list.size() > 1) list += ',';
    list += instrument_words_json(*watch);
  }
  return list + "]";
}

/// `"notices":[{"text":..,"said":[..]}]`
std::string notices_json(const Place& place, std::vector<Sentence> notices, const Clocks& clocks) {
  if (place.attended_only() && place.kind() != PlaceKind::shelf) {
    notices.push_back(
        say("attended_only",
            "attended only: stay while it is energised, and say so every half hour when it asks"));
  }
  if (clocks.bench.scale() > 1.0 && place.kind() != PlaceKind::shelf) {
    notices.push_back(say("bench_time_runs",
                          "bench time runs {scale} times as fast: a reading counts for {time} of it",
                          {said_amount("scale", clocks.bench.scale(), 0, ""),
                           said_amount("time", 0.5 * clocks.bench.scale(), 0, "s")}));
  }
  std::string list;
  for (const Sentence& notice : notices) {
    if (!list.empty()) list += ',';
    list +=
        fmt::format(R"({{"text":{},"said":{}}})", json_string(notice.text()), phrases_json(notice.phrases()));
  }
  return fmt::format(R"("notices":[{}])", list);
}

std::string rated_minutes(const TicketFile& file) {
  const auto& rated = file.battery.nameplate.reserve_capacity;
  return rated ? fmt::format("{:.0f}", as_minutes(rated->value)) : "null";
}

std::string forecast_json(const std::optional<Forecast>& forecast) {
  if (!forecast) return "null";
  const EndInterval& whole = forecast->whole;
  const EndInterval& alike = forecast->alike;
  return fmt::format(
      R"({{"method":"{}","batteries":{},"after_min":{:.1f},"earliest_min":{:.1f},"likely_min":{:.1f},)"
      R"("latest_min":{:.1f},"coverage_1":{:.2f},"alike_earliest_min":{:.1f},"alike_latest_min":{:.1f},)"
      R"("weak_cell_1":{:.3f},"unwarned_1":{:.3f},"leaves_plateau":{},"text":{}}})",
      word(forecast->method), forecast->batteries, as_minutes(forecast->seen), as_minutes(whole.earliest),
      as_minutes(whole.likely), as_minutes(whole.latest), forecast_level, as_minutes(alike.earliest),
      as_minutes(alike.latest), forecast->weak_cell, forecast->unwarned, forecast->leaves_plateau,
      json_string(text(*forecast)));
}

std::string place_json(Place& place, const TicketFile* file, const std::string& tickets,
                       const std::string& chart, const std::vector<Sentence>& precautions,
                       const Clocks& clocks) {
  std::string run =
      R"("procedure":null,"step":null,"elapsed_s":null,"left_s":null,"progress":null,"cutoff_v":null,)"
      R"("forecast":null,"paused":false)";
  LiveReading live = place.live();
  if (const RunExecution* execution = place.run()) {
    const RunProgress now = execution->progress();
    const std::string share =
        now.left ? fmt::format("{:.3f}", now.elapsed / (now.elapsed + *now.left)) : "null";
    run =
        fmt::format(R"("procedure":{},"step":{},"elapsed_s":{:.0f},"left_s":{},"progress":{},"cutoff_v":{},)"
                    R"("forecast":{},"paused":{})",
                    json_string(execution->order().procedure->name), text_or_null(now.step), now.elapsed.si(),
                    rounded(now.left, "{:.0f}"), share, rounded(now.cutoff, "{:.2f}"),
                    forecast_json(now.forecast), now.paused.has_value());
    const Trace* trace = execution->trace();
    if (trace != nullptr && !trace->samples.empty()) {
      const Sample& last = trace->samples.back();
      live = {last.volts, last.amps, last.temperature};
    }
  }
  const std::string degrees = live.temperature ? fmt::format("{:.1f}", live.temperature->degc()) : "null";
  const Sentence needs = place_needs(place);
  return fmt::format(
      R"({{"name":{},"kind":"{}","tickets":{},"ticket":{},"battery":{},"activity":"{}",)"
      R"("doing":{},"needs":{},"said":{},)"
      R"("ask":{},{},"volts_v":{},"amps_a":{},"case_degc":{},"chart":{},"instruments":{},{}}})",
      json_string(place.name()), word(place.kind()), tickets,
      file != nullptr ? json_string(shown(file->ticket.id)) : "null",
      file != nullptr ? json_string(label_of(*file)) : "null", word(place.activity()),
      json_string(doing(place)), text_or_null(needs.text()), phrases_json(needs.phrases()), ask_json(place),
      run, rounded(live.volts, "{:.3f}"), rounded(live.amps, "{:.2f}"), degrees, chart,
      instruments_json(place), notices_json(place, precautions, clocks));
}

std::string letter_json(std::optional<char> letter) {
  return letter ? json_string(std::string(1, *letter)) : "null";
}

std::string reserve_capacity_json(const TicketFile& file) {
  const Finding* finding = file.newest(Measurand::reserve_capacity_ref);
  if (finding == nullptr) finding = file.newest(Measurand::reserve_capacity);
  if (finding == nullptr) return R"("reserve_capacity_min":null,"reserve_capacity_u_min":null)";
  return fmt::format(R"("reserve_capacity_min":{:.1f},"reserve_capacity_u_min":{:.2f})", finding->value,
                     finding->u);
}

}  // namespace

std::string Bench::chart_of(const Place& place) {
  if (const RunExecution* execution = place.run()) {
    const Trace* trace = execution->trace();
    return trace != nullptr ? charts_[place.name()].json(execution->order().run.id, *trace) : "[]";
  }
  const auto ended = traces_.find(place.name());
  if (ended == traces_.end()) return "[]";
  return charts_[place.name()].json(ended->second.run, ended->second.trace);
}

void Bench::add_to(SnapshotParts& parts, Place& place) {
  std::vector<std::string> tickets;
  for (const auto& [id, file] : ledger_.files()) {
    if (file.ticket.place == place.name()) tickets.push_back(shown(id));
  }
  if (!parts.places.empty()) parts.places += ',';
  const TicketFile* here = ticket_at(place);
  parts.places +=
      place_json(place, here, strings_json(tickets), chart_of(place), precautions_at(place, here), clocks_);
  const bool is_free = here == nullptr && tickets.empty() && place.activity() == Activity::ready;
  if (is_free && place.kind() != PlaceKind::shelf) parts.moves.free.push_back({place.name(), place.kind()});
  if (place.trip().empty()) return;
  if (!parts.alarms.empty()) parts.alarms += ',';
  parts.alarms += fmt::format(R"({{"place":{},"text":{},"said":{}}})", json_string(place.name()),
                              json_string(place.trip()), phrases_json(place.trip_said().phrases()));
}

namespace {

/// Of the state's reason. What was graded before reasons kept their phrases has those of its grade.
Phrases reason_said(const TicketFile& file) {
  if (file.ticket.state != TicketState::graded || !file.ticket.state_said.empty())
    return file.ticket.state_said;
  const Sentence stands = reason_that_stands(file);
  return stands.text() == file.ticket.state_reason ? stands.phrases() : Phrases();
}

}  // namespace

void Bench::add_to(SnapshotParts& parts, const TicketFile& file) {
  if (file.ticket.state == TicketState::closed) return;
  const auto next = next_work(file, settings_.policy);
  const Procedure* due = next ? procedure(next->procedure) : nullptr;
  const std::optional<Needs> needs = next ? needs_of(file, *next) : std::nullopt;
  if (needs && needs->of == NeedsOf::move) {
    parts.moves.waiting.push_back({shown(file.ticket.id), kind_to_do(*next, places_), next->procedure,
                                   file.ticket.received_at, file.ticket.promised_at,
                                   way_from(file, settings_.policy, next->procedure)});
  }
  const GradeOverride* proposed = proposed_override(file);
  if (!parts.queue.empty()) parts.queue += ',';
  parts.queue += fmt::format(
      R"({{"ticket":"{}","battery":"{}","label":{},"state":"{}","since":"{}",)"
      R"("received_at":"{}","promised_at":{},"place":{},)"
      R"("grade":{},"own_grade":{},"proposed_grade":{},"reason":{},"said":{},{},"rated_min":{},"next":{},)"
      R"("needs":{},"needs_of":{}}})",
      shown(file.ticket.id), shown(file.ticket.battery), json_string(label_of(file)), word(file.ticket.state),
      file.ticket.state_since.rfc3339(), file.ticket.received_at.rfc3339(),
      file.ticket.promised_at ? json_string(file.ticket.promised_at->rfc3339()) : "null",
      text_or_null(file.ticket.place), letter_json(letter_that_stands(file)),
      letter_json(standing_override(file) != nullptr ? std::optional(file.grade->letter) : std::nullopt),
      letter_json(proposed != nullptr ? std::optional(proposed->letter) : std::nullopt),
      text_or_null(file.ticket.state_reason), phrases_json(reason_said(file)), reserve_capacity_json(file),
      rated_minutes(file),
      next ? fmt::format(R"({{"procedure":{},"place_kind":"{}","not_before":{},"consent":{}}})",
                         json_string(next->procedure), word(kind_to_do(*next, places_)),
                         next->not_before ? json_string(next->not_before->rfc3339()) : "null",
                         text_or_null(due != nullptr ? consent_needed(file, *due, settings_.policy) : ""))
           : "null",
      needs ? json_string(needs->text) : "null", needs ? json_string(word(needs->of)) : "null");
}

namespace {

std::string bench_alarm(const Sentence& why) {
  return fmt::format(R"({{"place":null,"text":{},"said":{}}})", json_string(why.text()),
                     phrases_json(why.phrases()));
}

}  // namespace

bool Bench::add_turn(SnapshotParts& parts) {
  for (std::size_t i = 0; i < places_a_turn && parts.place < places_.size(); ++i) {
    add_to(parts, *places_[parts.place++]);
  }
  if (parts.place < places_.size()) return true;
  auto file = parts.ticket ? ledger_.files().upper_bound(*parts.ticket) : ledger_.files().begin();
  for (std::size_t i = 0; i < tickets_a_turn && file != ledger_.files().end(); ++i, ++file) {
    parts.ticket = file->first;
    add_to(parts, file->second);
  }
  return file != ledger_.files().end();
}

std::string Bench::whole(const SnapshotParts& parts) const {
  std::string alarms = parts.alarms;
  if (const auto why = alarm()) {
    if (!alarms.empty()) alarms += ',';
    alarms += bench_alarm(say("nothing_energised", "nothing is energised: ").add(in_own_words(*why)));
  }
  if (!store_problem_.empty()) {
    if (!alarms.empty()) alarms += ',';
    alarms += bench_alarm(say("store_failed", "the store failed: ").add(in_own_words(store_problem_)));
  }
  return fmt::format(
      R"({{"at":"{}","bench":{},"simulated":{},"scale":{:.0f},"stopped":null,"software":{},"places":[{}],)"
      R"("queue":[{}],"alarms":[{}],"suggestions":{},"cautions":{}}})",
      clocks_.bench.utc().rfc3339(), json_string(settings_.name), settings_.simulated, clocks_.bench.scale(),
      json_string(settings_.software), parts.places, parts.queue, alarms,
      suggestions_json(suggestions_for(parts.moves, clocks_.bench.utc())), strings_json(cautions()));
}

std::string Bench::snapshot() {
  const Instant now = clocks_.machine.now();
  if (!snapshot_.empty() && now - snapshot_at_ < rebuild_period) return snapshot_;
  snapshot_at_ = now;
  SnapshotParts parts;
  while (add_turn(parts)) {
  }
  snapshot_ = whole(parts);
  return snapshot_;
}

Task<std::string> Bench::snapshot_in_turns() {
  SnapshotParts parts;
  while (add_turn(parts)) {
    auto others = clocks_.machine.sleep_for(Second(0.0));
    co_await others;
  }
  co_return whole(parts);
}

}  // namespace leadwright
