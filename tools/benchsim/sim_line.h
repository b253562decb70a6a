// SPDX-License-Identifier: Apache-2.0
// One line of the simulated bench: what hangs at its end, and its cable. Memory links and the wires of
// benchsim run over it. Owned by SimBench. Thread: the bench's.
#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <utility>

#include "drivers/cable.h"
#include "drivers/memory_link.h"
#include "tools/benchsim/sim_instrument.h"

namespace leadwright {

class SimLine final : public MemoryDevice {
 public:
  enum class Speech { scpi, modbus_rtu, modbus_tcp };

  /// Answers come `answer_after` (the link's clock) over a memory link.
  SimLine(std::string name, Speech speech, LineEnd& end, Second answer_after)
      : name_(std::move(name)), speech_(speech), end_(&end), answer_after_(answer_after) {}

  const std::string& name() const { return name_; }
  /// What this port is made for; after swap() something else may hang at it.
  Speech speech() const { return speech_; }
  LineEnd& end() { return *end_; }
  const std::shared_ptr<Cable>& cable() const { return cable_; }
  /// The plugs change places.
  void swap(SimLine& other) { std::swap(end_, other.end_); }

  void receive(std::string_view bytes, MemoryPort& port) override {
    answers_.clear();
    end_->exchange(bytes, answers_);
    if (!answers_.empty()) port.deliver(answers_, answer_after_);
  }

 private:
  std::string name_;
  Speech speech_;
  LineEnd* end_;
  Second answer_after_;
  std::shared_ptr<Cable> cable_ = std::make_shared<Cable>();
  std::string answers_;
};

/// "SCPI", "Modbus RTU", "Modbus TCP".
const char* word(SimLine::Speech speech);

}  // namespace leadwright
