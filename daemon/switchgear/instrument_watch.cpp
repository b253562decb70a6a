// SPDX-License-Identifier: Apache-2.0
#include "daemon/switchgear/instrument_watch.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "daemon/settings/log.h"
#include "drivers/wire_text.h"

namespace leadwright {

namespace {

/// The log escapes control characters itself, and quotes what would be two keys.
std::string for_log(const std::string& bytes) {
  if (is_binary(bytes)) return hex(bytes);
  const bool is_plain =
      std::ranges::none_of(bytes, [](char byte) { return static_cast<unsigned char>(byte) > 0x7f; });
  return is_plain ? bytes : escaped(bytes);
}

}  // namespace

InstrumentWatch::InstrumentWatch(Instrument& instrument, Clocks clocks)
    : instrument_(instrument),
      clocks_(clocks),
      standing_{instrument.state(), clocks.bench.utc()},
      dump_timer_(clocks.machine) {}

InstrumentWatch::Standing InstrumentWatch::standing() const {
  if (!connecting_since_) return standing_;
  const LinkState now = instrument_.state();
  const bool is_still_lost = standing_.state == LinkState::lost && now != LinkState::identified;
  return is_still_lost ? standing_ : Standing{now, *connecting_since_};
}

void InstrumentWatch::connecting() {
  connecting_since_ = clocks_.bench.utc();
}

void InstrumentWatch::asked(const Error* error) {
  connecting_since_.reset();
  const LinkCounters& counters = instrument_.counters();
  const std::uint64_t late = counters.time_outs - std::exchange(time_outs_, counters.time_outs);
  const std::uint64_t garbled = counters.garbles - std::exchange(garbles_, counters.garbles);
  if (error != nullptr) {
    trouble_ = Trouble{clocks_.bench.utc(), error->line()};
  } else if (late + garbled > 0) {
    trouble_ = Trouble{
        clocks_.bench.utc(),
        fmt::format("{} without an answer in time, {} garbled; well when asked again", late, garbled)};
  }
  LinkState now = instrument_.state();
  const bool is_away = now == LinkState::closed || now == LinkState::opening;
  if (is_away && standing_.state == LinkState::lost) now = LinkState::lost;
  if (now != standing_.state) stand(now, error);
}

void InstrumentWatch::stand(LinkState state, const Error* error) {
  const LinkState before = standing_.state;
  standing_ = Standing{state, clocks_.bench.utc()};
  const std::string why = error != nullptr ? error->line() : "";
  const std::string words =
      fmt::format("{} is {}{}{}", instrument_.name(), word(state), why.empty() ? "" : ": ", why);
  if (state == LinkState::lost) {
    log_event(Level::warning, "instrument.lost", {{"instrument", instrument_.name()}, {"why", why}});
    alarm(words);
    return;
  }
  if (before == LinkState::lost) {
    log_event(Level::notice, "instrument.back", {{"instrument", instrument_.name()}, {"state", word(state)}});
  }
  note(words);
}

void InstrumentWatch::note(std::string_view words) {
  if (is_traced()) trace_->note(words);
}

void InstrumentWatch::alarm(std::string_view words) {
  if (!is_traced()) return;
  trace_->note(words);
  const std::uint64_t before = trace_->newest();
  if (dump_is_due_) return;
  dump_is_due_ = true;
  dumped_ = std::max(dumped_, before > dump_before ? before - dump_before : 0);
  dump_timer_.set(clocks_.machine.now() + dump_after, [this] { dump(); });
}

void InstrumentWatch::dump() {
  dump_is_due_ = false;
  std::size_t count = 0;
  for (const WireTrace::Line& line : trace_->after(dumped_)) {
    if (++count > dump_lines_max) break;
    dumped_ = line.number;
    log_event(Level::notice, "wire",
              {{"link", instrument_.link().name()},
               {"number", fmt::format("{}", line.number)},
               {"machine_s", fmt::format("{:.6f}", (line.at - trace_->zero()).si())},
               {"way", word(line.way)},
               {"bytes", for_log(line.bytes)}});
  }
}

}  // namespace leadwright
