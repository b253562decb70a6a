// SPDX-License-Identifier: Apache-2.0
// What the outputs of relay boxes switch on the simulated bench: isolators in series with the battery of a
// place, and selectors that put the leads of a shared instrument onto one of several places. Two selectors of
// one instrument closed at once join two batteries: that is recorded, with the current that they exchange.
// Owned by SimBench. Thread: the bench's. Read next: relay_part.h, terminals.h.
#pragma once

#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "tools/benchsim/relay_part.h"
#include "tools/benchsim/terminals.h"

namespace leadwright {

/// Batteries at several places were joined through a selector.
struct JoinedPlaces {
  Instant at;
  std::vector<std::string> places;
  /// The most that flowed out of one of them into the others: at the moment of contact by their volts and
  /// resistances, later as the others take charge.
  Ampere exchange;
};

/// One contact of a box.
struct SimContact {
  RelayPart* relays;
  int output;
  bool is_closed() const { return relays->is_closed(output); }
};

class Contacts final : public Surroundings {
 public:
  Contacts() = default;
  Contacts(const Contacts&) = delete;
  Contacts& operator=(const Contacts&) = delete;

  /// The box's watchdog acts on these contacts.
  void add_box(RelayPart& relays);
  /// From now on `posts` have no way to their battery while the contact is open.
  void add_isolator(SimContact contact, Terminals& posts);
  /// From now on `instrument` is on `leads`, which lead nowhere, unless one of its contacts puts it onto a
  /// place.
  void add_selector(SimContact contact, SimInstrument& instrument, Terminals& leads, std::string place,
                    Terminals& posts);
  bool uses(const RelayPart& relays, int output) const;

  void live_to(Instant now) override;
  /// A contact, or what stands at a place, has changed at the instant that was lived to last.
  void update();

  const std::vector<JoinedPlaces>& joined() const { return joined_; }

 private:
  struct Isolator {
    SimContact contact;
    Terminals* posts;
  };
  struct Way {
    SimContact contact;
    std::string place;
    Terminals* posts;
  };
  struct Selector {
    SimInstrument* instrument;
    Terminals* leads;
    std::vector<Way> ways;
    std::vector<const Way*> joined;  // two or more, or none
    std::size_t record = 0;          // of joined_, while they are joined
  };
  void surround(Terminals& posts);
  void isolate();
  void select(Selector& selector);
  void join(Selector& selector);
  void exchange(Selector& selector);
  void step_joined(Instant now);

  std::vector<RelayPart*> boxes_;
  std::vector<Isolator> isolators_;
  std::vector<Selector> selectors_;
  std::vector<JoinedPlaces> joined_;
  Instant present_;
};

}  // namespace leadwright
