// SPDX-License-Identifier: Apache-2.0
// Answers on their way over a cable: each comes when it is due, none overtakes another. For: memory links,
// and the wires of the simulated bench. Thread: control. Read next: cable.h.
#pragma once

#include <deque>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/clock/clock.h"
#include "drivers/cable.h"

namespace leadwright {

class Deliveries {
 public:
  /// `arrive` gets the bytes at their time. `cable` outlives this.
  Deliveries(Clock& machine, Cable& cable, std::function<void(std::string_view)> arrive)
      : machine_(machine), cable_(cable), arrive_(std::move(arrive)), timer_(machine) {}

  /// One answer, `after` from now, and what the cable makes of it. At once, in this call, where nothing
  /// hinders.
  void send(std::string_view bytes, Second after);
  /// As send(), past the cable.
  void send_as_is(std::string_view bytes, Instant due);
  /// What is under way is lost.
  void stop();

 private:
  struct Delivery {
    Instant due;
    std::string bytes;
    Second again_every;
  };
  void enqueue(Delivery delivery);
  void arm();
  void deliver_due();

  Clock& machine_;
  Cable& cable_;
  std::function<void(std::string_view)> arrive_;
  std::deque<Delivery> under_way_;
  std::vector<Cable::Piece> pieces_;
  Timer timer_;
};

}  // namespace leadwright
