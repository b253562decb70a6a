// SPDX-License-Identifier: Apache-2.0
#include "tools/simtest_world/reactions.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

namespace leadwright {

namespace {

constexpr std::size_t readings_kept = 200;
/// follow.abs and follow.rel of the simulated profiles.
constexpr Ampere follows_within{0.1};
constexpr double follows_share = 0.01;
/// From off to the place's trip; an older off was that of another run.
constexpr Second said_within{30.0};
/// The sentence of an envelope's breach: value, limit, and which side.
struct Breach {
  double limit = 0.0;
  bool is_above = false;
  bool is_volts = false;
};

/// The number that `text` begins with, which is taken off it with the blank behind.
std::optional<double> take_number(std::string_view& text) {
  double value = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc()) return std::nullopt;
  text.remove_prefix(static_cast<std::size_t>(end - text.data()));
  if (text.starts_with(' ')) text.remove_prefix(1);
  return value;
}

bool take_words(std::string_view& text, std::string_view words) {
  if (!text.starts_with(words)) return false;
  text.remove_prefix(words.size());
  return true;
}

std::optional<Breach> breach_of(std::string_view trip) {
  Breach breach;
  if (!take_number(trip)) return std::nullopt;
  breach.is_volts = take_words(trip, "V is ");
  if (!breach.is_volts && !take_words(trip, "A is ")) return std::nullopt;
  breach.is_above = take_words(trip, "above the limit of ");
  if (!breach.is_above && !take_words(trip, "below the limit of ")) return std::nullopt;
  const auto limit = take_number(trip);
  breach.limit = limit.value_or(0.0);
  return limit ? std::optional(breach) : std::nullopt;
}

/// The sentence of a current that does not follow.
struct Strayed {
  Ampere set{0.0};
  bool is_above = false;

  /// A charger may give less than it is told, so that only readings on the trip's side led to it.
  bool is_one(Ampere amps) const {
    const Ampere beyond = is_above ? abs(amps) - set : set - abs(amps);
    return beyond > std::max(follows_within, set * follows_share);
  }
};

std::optional<Strayed> not_followed(std::string_view trip) {
  if (!take_words(trip, "the current is ")) return std::nullopt;
  const auto amps = take_number(trip);
  if (!amps || !take_words(trip, "A where ")) return std::nullopt;
  const auto set = take_number(trip);
  return set ? std::optional(Strayed{Ampere(*set), *amps > *set}) : std::nullopt;
}

/// A message that changes something, so no question.
bool sets(WireEar::Kind kind, std::string_view bytes) {
  if (kind == WireEar::Kind::scpi) return bytes.find('?') == std::string_view::npos;
  return bytes.size() > 1 && static_cast<unsigned char>(bytes[1]) >= 5;
}

bool is_bare_end(std::string_view bytes) {
  return std::ranges::all_of(bytes, [](char byte) { return byte == '\n' || byte == '\r'; });
}

}  // namespace

void Reactions::add(const std::string& link, const WatchedInstrument& instrument) {
  Wire wire;
  wire.instrument = instrument;
  wires_.insert_or_assign(link, std::move(wire));
}

void Reactions::daemon_died() {
  spoke_.clear();
  for (auto& [link, wire] : wires_) {
    wire.trip.reset();
    wire.counts_proof = false;
    wire.readings.clear();
  }
  for (auto& [name, spot] : places_) spot.trip.clear();
}

void Reactions::line_out(const std::string& link, bool is_out) {
  const auto found = wires_.find(link);
  if (found == wires_.end()) return;
  Wire& wire = found->second;
  wire.is_out = is_out;
  if (!is_out) return;
  if (wire.trip) tally_.add("reaction out of reach");
  wire.trip.reset();
  wire.counts_proof = false;
}

void Reactions::count(const char* what, const Wire& wire, double thousandths) {
  const char* const speech = wire.instrument.kind == WireEar::Kind::modbus ? "Modbus RTU" : "SCPI";
  tally_.add(fmt::format("reaction {}, {}: {:.0f}", what, speech, std::ceil(thousandths - 1e-6)));
}

void Reactions::crossed(const Crossed& crossed, bool outward, std::string_view bytes, Instant at) {
  const auto found = wires_.find(crossed.link);
  const WireEar* const ear = crossed.ear;
  if (found == wires_.end() || ear == nullptr) return;
  const bool off = outward && WireEar::switches_off(ear->kind(), bytes);
  const bool on = outward && WireEar::switches_on(ear->kind(), bytes);
  if (outward && !is_bare_end(bytes) && !std::exchange(spoke_[crossed.link], true)) {
    const char* const first = off                          ? "off"
                              : bytes.starts_with("*IDN?") ? "identify"
                              : on                         ? "ON"
                                                           : "a question";
    tally_.add(std::string("reaction start: ") + first);
  }
  Wire& wire = found->second;
  wire.ear = ear;
  wire.was_broken = wire.was_broken || crossed.is_broken;
  if (outward && !off && sets(ear->kind(), bytes) && (on || !wire.off_at)) wire.set_at = at;
  if (on) {
    wire.readings.clear();
    wire.off_at.reset();
    wire.counts_proof = false;
  }
  if (off && !wire.off_at) {
    wire.off_at = at;
    wire.proved_in.reset();
    wire.was_broken = crossed.is_broken;
    if (wire.trip) measure(wire, *std::exchange(wire.trip, std::nullopt));
  }
  if (!outward) heard(wire, at);
}

void Reactions::heard(Wire& wire, Instant at) {
  const WireEar& ear = *wire.ear;
  if (!wire.off_at && ear.heard_at() == at && (wire.readings.empty() || wire.readings.back().at != at)) {
    wire.readings.push_back({at, ear.volts(), ear.amps()});
    if (wire.readings.size() > readings_kept) wire.readings.pop_front();
  }
  if (!wire.off_at || wire.proved_in || ear.proved_at() != at) return;
  wire.proved_in = at - *wire.off_at;
  if (std::exchange(wire.counts_proof, false)) count_proof(wire);
}

Reactions::Wire* Reactions::used(const WatchedPlace& wiring) {
  Wire* latest = nullptr;
  for (const std::string* link : {&wiring.load, &wiring.charger}) {
    const auto found = wires_.find(*link);
    if (found == wires_.end() || found->second.ear == nullptr) continue;
    Wire& wire = found->second;
    if (latest == nullptr || wire.ear->on_at() > latest->ear->on_at()) latest = &wire;
  }
  return latest;
}

void Reactions::says(const std::string& place, const std::string& trip, Instant at) {
  Spot& spot = places_[place];
  const bool is_new = spot.trip.empty() && !trip.empty();
  spot.trip = trip;
  if (!is_new) return;
  tally_.add("reaction trips");
  Wire* const wire = used(spot.wiring);
  if (wire == nullptr || wire->ear->on_at() == WireEar::long_ago)
    return tally_.add("reaction trips before on");
  if (wire->is_out) return tally_.add("reaction out of reach");
  // Off goes out before the place says why; a line that gives turns may still owe it.
  if (wire->off_at && at - *wire->off_at > said_within) return tally_.add("reaction trips before on");
  if (wire->off_at) return measure(*wire, trip);
  wire->trip = trip;
}

void Reactions::count_proof(const Wire& wire) {
  if (wire.was_broken) return tally_.add("reaction 4 proved by a broken one");
  count("4 proved", wire, 1e3 * wire.proved_in->si());
}

void Reactions::measure(Wire& wire, const std::string& trip) {
  const Instant off_at = *wire.off_at;
  wire.counts_proof = !wire.proved_in;
  if (wire.proved_in) count_proof(wire);
  tally_.add("reaction trips with off on the wire");
  const auto& readings = wire.readings;
  if (const auto breach = breach_of(trip)) {
    std::optional<Instant> first;
    for (auto reading = readings.rbegin(); reading != readings.rend(); ++reading) {
      const double value = breach->is_volts ? reading->volts.si() : std::abs(reading->amps.si());
      // The trip's sentence is rounded to a thousandth.
      const bool beyond = breach->is_above ? value > breach->limit + 5e-4 : value < breach->limit - 5e-4;
      if (!beyond) break;
      first = reading->at;
    }
    if (first) count("1 breach", wire, 1e3 * (off_at - *first).si());
  } else if (const auto strayed = not_followed(trip)) {
    int off = 0;
    for (auto reading = readings.rbegin(); reading != readings.rend(); ++reading, ++off) {
      const bool settles = reading->at < wire.set_at + wire.instrument.settles;
      if (settles || !strayed->is_one(reading->amps)) break;
    }
    count("3 follow", wire, off);
  } else if (trip.starts_with("no good reading")) {
    const Second late = off_at - std::max(wire.ear->good_at(), wire.ear->on_at()) - wire.instrument.fresh;
    count("2 stale", wire, std::max(0.0, 1e3 * late.si()));
  } else if (trip.find("frozen") != std::string::npos) {
    tally_.add("reaction 2 frozen");
  }
}

std::string reactions_text(const Tally& sum) {
  struct Row {
    const char* name;
    const char* words;
    const char* unit;
    double goal;
  };
  constexpr Row rows[] = {{"1 breach", "1 breaching reply to off bytes", "ms", 100.0},
                          {"2 stale", "2 off bytes after the freshness limit", "ms", 100.0},
                          {"3 follow", "3 readings off the set current (each looked at twice)", "", 6.0},
                          {"4 proved", "4 off bytes to read-back as off", "ms", 1000.0}};
  std::string text = "reactions\n" + fmt::format("  {:<52}{:>8}{:>9}{:>9}{:>9}{:>9}  {}\n", "", "times",
                                                 "median", "p99", "longest", "goal", "beyond");
  for (const Row& row : rows) {
    for (const char* speech : {"SCPI", "Modbus RTU"}) {
      const std::string head = fmt::format("reaction {}, {}: ", row.name, speech);
      std::map<std::uint64_t, std::uint64_t> times;
      std::uint64_t all = 0;
      std::uint64_t beyond = 0;
      for (const auto& [name, count] : sum.counts()) {
        if (!name.starts_with(head)) continue;
        std::string_view rest(name);
        rest.remove_prefix(head.size());
        const auto value = static_cast<std::uint64_t>(take_number(rest).value_or(0.0));
        times[value] += count;
        all += count;
        if (static_cast<double>(value) > row.goal) beyond += count;
      }
      if (all == 0) continue;
      const auto rank = [&](double share) {
        std::uint64_t seen = 0;
        for (const auto& [value, count] : times) {
          seen += count;
          if (static_cast<double>(seen) >= share * static_cast<double>(all)) return value;
        }
        return times.rbegin()->first;
      };
      text += fmt::format("  {:<52}{:>8}{:>6} {:<2}{:>6} {:<2}{:>6} {:<2}{:>6g} {:<2}  {}\n",
                          fmt::format("{}, {}", row.words, speech), all, rank(0.5), row.unit, rank(0.99),
                          row.unit, times.rbegin()->first, row.unit, row.goal, row.unit, beyond);
    }
  }
  const auto share = [&sum](const char* name) { return sum.of(std::string("reaction ") + name); };
  text += fmt::format("  2 frozen readings that tripped: {}\n", share("2 frozen"));
  text += fmt::format("  4 proved in the end by instruments that a fault had struck: {}\n",
                      share("4 proved by a broken one"));
  text += fmt::format(
      "  4 trips: {}; off went over the wire for {}; before anything was on {}; out of reach (plug out): "
      "{}\n",
      share("trips"), share("trips with off on the wire"), share("trips before on"), share("out of reach"));
  text += fmt::format(
      "  5 first on the link of a load, charger or box after a start: off {}, identify {}, another question "
      "{}, ON {}\n",
      share("start: off"), share("start: identify"), share("start: a question"), share("start: ON"));
  return text;
}

}  // namespace leadwright
