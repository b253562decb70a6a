// SPDX-License-Identifier: Apache-2.0
// Memory links to the simulated bench whose bytes take the time of a wire: a device hears a message when its
// last byte has come, and its answer has come with the last byte of that.
#pragma once

#include <deque>
#include <memory>
#include <string>
#include <vector>

#include "drivers/memory_link.h"
#include "tools/benchsim/benchsim.h"

namespace leadwright {

struct WirePace {
  Second byte;     ///< each byte, either way
  Second latency;  ///< each message, either way, on top
};

/// Between a memory link and a line of the simulated bench.
class PacedDevice final : public MemoryDevice, private MemoryPort {
 public:
  PacedDevice(SimLine& line, WirePace pace, Clock& clock)
      : line_(line), pace_(pace), clock_(clock), timer_(clock) {}
  void receive(std::string_view bytes, MemoryPort& port) override;

 private:
  struct Message {
    Instant due;
    std::string bytes;
  };
  void deliver(std::string_view bytes, Second after) override;
  void hear_due();
  Second on_the_wire(std::string_view bytes) const;

  SimLine& line_;
  WirePace pace_;
  Clock& clock_;
  MemoryPort* port_ = nullptr;
  std::deque<Message> under_way_;
  Timer timer_;
};

class PacedLinks final : public LinkFactory {
 public:
  PacedLinks(SimBench& sim, WirePace pace, Clock& clock) : sim_(sim), pace_(pace), clock_(clock) {}
  Result<std::unique_ptr<Link>> make(const LinkAddress& address, const SerialSettings& serial) override;

 private:
  SimBench& sim_;
  WirePace pace_;
  Clock& clock_;
  std::vector<std::unique_ptr<PacedDevice>> devices_;
};

}  // namespace leadwright
