// SPDX-License-Identifier: Apache-2.0
// The least RTU line that can be driven: units with coils and words, what they heard, and how they can
// misbehave. Not a simulated instrument: those are in tools/benchsim.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "drivers/memory_link.h"
#include "protocol/modbus_frames.h"

namespace leadwright {

class FakeModbusLine final : public MemoryDevice {
 public:
  struct Unit {
    std::map<int, bool> coils;
    std::map<int, std::uint16_t> holding;
    std::map<int, std::uint16_t> input;
    bool is_mute = false;
    int exception = 0;     ///< answers every request with it
    Second answer_after;   ///< for the next answers
    int late_answers = 0;  ///< so many of them take `late_by`
    Second late_by{0.4};
  };
  struct Heard {
    int unit = 0;
    std::string pdu;
  };

  std::map<int, Unit> units;
  std::vector<Heard> heard;

  void receive(std::string_view bytes, MemoryPort& port) override {
    pending_.append(bytes);
    while (const std::size_t size = frame_size()) {
      const std::string frame = pending_.substr(0, size);
      pending_.erase(0, size);
      handle(frame, port);
    }
  }

 private:
  static int word_at(std::string_view bytes, std::size_t at) {
    return static_cast<unsigned char>(bytes[at]) << 8 | static_cast<unsigned char>(bytes[at + 1]);
  }

  std::size_t frame_size() const {
    if (pending_.size() < 8) return 0;
    const bool has_count = pending_[1] == 15 || pending_[1] == 16;
    const std::size_t size = has_count ? 9U + static_cast<unsigned char>(pending_[6]) : 8U;
    return pending_.size() >= size ? size : 0;
  }

  void handle(const std::string& frame, MemoryPort& port) {
    const int number = static_cast<unsigned char>(frame[0]);
    const std::string_view body = std::string_view(frame).substr(0, frame.size() - 2);
    std::string checked(body.substr(0, 1));
    checked.clear();
    append_rtu(checked, static_cast<std::uint8_t>(number), body.substr(1));
    const auto found = units.find(number);
    if (checked != frame || found == units.end()) return;
    heard.push_back({number, std::string(body.substr(1))});
    Unit& unit = found->second;
    if (unit.is_mute) return;
    std::string answer;
    append_rtu(answer, static_cast<std::uint8_t>(number), act(unit, body.substr(1)));
    Second after = unit.answer_after;
    if (unit.late_answers > 0) {
      --unit.late_answers;
      after = unit.late_by;
    }
    port.deliver(answer, after);
  }

  static std::string act(Unit& unit, std::string_view pdu) {
    const char function = pdu[0];
    if (unit.exception != 0) {
      return {static_cast<char>(function | static_cast<char>(0x80)), static_cast<char>(unit.exception)};
    }
    const int at = word_at(pdu, 1);
    const int count = word_at(pdu, 3);
    if (function == 5) {
      unit.coils[at] = count != 0;
      return std::string(pdu);
    }
    if (function == 6) {
      unit.holding[at] = static_cast<std::uint16_t>(count);
      return std::string(pdu);
    }
    if (function == 15) {
      for (int i = 0; i < count; ++i)
        unit.coils[at + i] = (pdu[6 + static_cast<std::size_t>(i / 8)] >> (i % 8) & 1) != 0;
      return std::string(pdu.substr(0, 5));
    }
    std::string answer(1, function);
    if (function <= 2) {
      answer.push_back(static_cast<char>((count + 7) / 8));
      std::string bits(static_cast<std::size_t>((count + 7) / 8), '\0');
      for (int i = 0; i < count; ++i) {
        if (function == 1 && unit.coils[at + i])
          bits[static_cast<std::size_t>(i / 8)] |= static_cast<char>(1 << (i % 8));
      }
      return answer + bits;
    }
    answer.push_back(static_cast<char>(count * 2));
    for (int i = 0; i < count; ++i) {
      const std::uint16_t value = function == 3 ? unit.holding[at + i] : unit.input[at + i];
      answer.push_back(static_cast<char>(value >> 8));
      answer.push_back(static_cast<char>(value & 0xFF));
    }
    return answer;
  }

  std::string pending_;
};

}  // namespace leadwright
