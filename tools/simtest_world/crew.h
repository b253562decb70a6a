// SPDX-License-Identifier: Apache-2.0
// The simulated people of one world: they drop batteries off, carry and scan them, start work, answer
// questions, stop things, hand batteries back, and err as the world's shape says. When they are `diligent`
// they do what they are asked and put right what they find. Owned by one seed's run. Never: waits for an
// answer; the daemon may die over any request.
#pragma once

#include <functional>
#include <map>
#include <set>
#include <string>

#include "tools/simtest_world/counting_battery.h"
#include "tools/simtest_world/dice.h"
#include "tools/simtest_world/shape.h"
#include "tools/simtest_world/tally.h"

namespace leadwright {

/// What became known of a request.
struct Answered {
  Request request;
  Response response;
  Instant asked_at;
  std::string stood_at{};  ///< the place of its ticket then, if it is about one
};

class Crew {
 public:
  Crew(World& world, const WorldShape& shape, Tally& tally)
      : world_(world), shape_(shape), tally_(tally), dice_(shape.seed, "crew") {}

  /// Hears every request that is sent, and every answer that comes.
  std::function<void(const Request&)> on_request;
  std::function<void(const Answered&)> on_answer;
  std::function<void(const std::string& line)> note;

  /// One act of somebody, sensible or not.
  void careless_turn();
  /// Everything that is there to be done now. Nobody errs.
  void diligent_turn();
  /// Work on a sound battery at a bay, which nothing else may take from now on; whatever stands there makes
  /// room. To be called before each diligent turn.
  void bring_sound(const std::string& bay);
  /// The name of that battery; empty before it came.
  const std::string& sound_battery() const { return sound_battery_; }

  /// Time until the next careless turn.
  Second pause() { return dice_.wait(shape_.turn); }

  /// The simulated battery that a ticket was written for; its serial number is its name.
  static const std::string& own_battery(const TicketFile& file) { return file.battery.serial; }
  /// As it is at a settled instant; null for one that was never brought. Good until the bench settles again:
  /// where a load cuts off between two instants, the simulator puts a copy in the battery's place.
  CountingBattery* battery(const std::string& name) {
    if (!batteries_.contains(name)) return nullptr;
    return static_cast<CountingBattery*>(world_.sim().battery(name)->battery.get());
  }
  /// Name of the battery that is clamped on there; empty if none is.
  std::string clamped(const std::string& place) const;
  /// A person said of what is clamped on at this ticket's place that it is its battery, and was wrong.
  const std::set<TicketId>& deceived() const { return deceived_; }
  /// At a settled instant: clamps carry badly from now on.
  void spoil_clamps(const std::string& place, Ohm resistance);
  /// Batteries change places, or one goes to the shelf, under the eyes of nobody.
  void carry(const std::string& battery, const std::string& to);
  std::vector<std::string> equipped_places() const;

 private:
  using Act = void (Crew::*)();
  void drop_off();
  void bring_to_work();
  void start_somewhere();
  void answer_asks();
  void acknowledge_trips();
  void take_up();
  void mistake();
  void odd_request();
  void close_some();
  void hurry();
  void take_to(const TicketFile& file, const std::string& place, const std::string& why);
  void load_at_once(const TicketFile& file);

  std::string new_battery(const std::string& spec);
  void write_ticket(const std::string& battery, const std::string& chemistry, int cells, double c20_ah,
                    const std::string& procedures);
  void ask(const std::string& verb, const std::string& subject, const std::string& body);
  bool errs(const char* name);
  void answer(const Place& place, bool truthfully);
  void start(const Place& place, const std::string& procedure);
  void put_right(const Place& place);
  bool is_reserved(const Place& place) const;
  const Place* free_place(PlaceKind wanted, bool reserved_too = false) const;
  const TicketFile* ticket_at(const Place& place) const;
  std::vector<const TicketFile*> open_tickets() const;
  std::string somebody();

  World& world_;
  const WorldShape& shape_;
  Tally& tally_;
  Dice dice_;
  std::set<std::string> batteries_;  ///< that were brought
  std::set<TicketId> deceived_;
  std::set<TicketId> in_haste_;  ///< whose load test can't wait
  int brought_ = 0;
  std::string reserved_;  ///< the bay of the sound battery
  std::string sound_battery_;
};

}  // namespace leadwright
