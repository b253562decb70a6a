// SPDX-License-Identifier: Apache-2.0
// How fast the daemon reacted, as the wire shows it: from a breaching reply to the off bytes, from the last
// whole reading to the off bytes, readings that did not follow, off proved or shouted, first bytes of a
// start. Measures and counts; promises.h judges. Owned by one seed's run; what it found goes into the tally,
// one count a millisecond, so that the sums of many seeds still hold every longest and every share.
//
// 1 breach: a reply beyond the limit that the trip names, until off is with the link.
// 2 stale: from the last whole reading until off, beyond stale_ms of the profile.
// 3 follow: readings in a row beyond the set current on the trip's side, when off is with the link.
// 4 proved: from off until the read-back, of instruments that no fault keeps from it; what was not proved was
//   shouted, or promise 3 is broken.
// 5 start: what a daemon says first on each link.
#pragma once

#include <deque>
#include <map>
#include <optional>
#include <string>

#include "tools/simtest_world/promises.h"
#include "tools/simtest_world/tally.h"

namespace leadwright {

class Reactions {
 public:
  explicit Reactions(Tally& tally) : tally_(tally) {}

  void add(const std::string& link, const WatchedInstrument& instrument);
  void add(const std::string& place, const WatchedPlace& wiring) { places_[place].wiring = wiring; }

  /// What was pending will never be measured.
  void daemon_died();
  struct Crossed {
    const std::string& link;
    const WireEar* ear = nullptr;  ///< has heard the bytes already; null for a link that has none
    bool is_broken = false;        ///< its instrument does not do what it should, by a fault that struck it
  };
  void crossed(const Crossed& crossed, bool outward, std::string_view bytes, Instant at);
  void line_out(const std::string& link, bool is_out);
  void says(const std::string& place, const std::string& trip, Instant at);

 private:
  struct Heard {
    Instant at;
    Volt volts;
    Ampere amps;
  };
  struct Wire {
    WatchedInstrument instrument;
    const WireEar* ear = nullptr;
    std::deque<Heard> readings;  ///< the last ones, from switching on until off
    bool is_out = false;
    Instant set_at;                   ///< last message that changed something, before off
    std::optional<Instant> off_at;    ///< the first off since it was switched on
    std::optional<Second> proved_in;  ///< after that
    std::optional<std::string> trip;  ///< what is still to be measured of it
    bool counts_proof = false;
    bool was_broken = false;  ///< at some time since that off
  };
  struct Spot {
    WatchedPlace wiring;
    std::string trip;
  };
  void heard(Wire& wire, Instant at);
  void count_proof(const Wire& wire);
  void measure(Wire& wire, const std::string& trip);
  void count(const char* what, const Wire& wire, double thousandths);
  /// The load or the charger, whichever was switched on last.
  Wire* used(const WatchedPlace& wiring);

  Tally& tally_;
  std::map<std::string, Wire> wires_;
  std::map<std::string, Spot> places_;
  std::map<std::string, bool> spoke_;  ///< links that this daemon said something on
};

/// The table of figures, made of the tallies of any number of seeds.
std::string reactions_text(const Tally& sum);

}  // namespace leadwright
