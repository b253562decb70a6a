// SPDX-License-Identifier: Apache-2.0
// The least instruments that our drivers can be measured against: they answer at once, from a table, so that
// next to nothing is theirs in a figure. Not simulated instruments: those are in tools/benchsim.
#pragma once

#include <atomic>
#include <cstdint>
#include <map>
#include <string>
#include <string_view>

#include "drivers/memory_link.h"

namespace leadwright {

class Canned {
 public:
  virtual ~Canned() = default;
  /// Takes bytes in any pieces; appends the answers to all messages that they complete.
  virtual void receive(std::string_view bytes, std::string& answers) = 0;
  /// The answers are about to be handed to the kernel.
  virtual void about_to_answer() {}
};

/// A load after config/profiles/simulated_load.toml. What is set is read back; volts stand still.
class CannedLoad : public Canned {
 public:
  void receive(std::string_view bytes, std::string& answers) override;

 protected:
  bool is_on() const { return is_on_; }
  /// What is measured now, asked once for each question.
  virtual double measured_amps() { return is_on_ ? set_amps_ : 0.0; }

 private:
  void message(std::string_view text, std::string& answers);
  void unit(std::string_view text, std::string& answer);
  void command(std::string_view header, std::string_view argument);

  std::string input_;
  std::string answer_;
  std::map<std::string, std::string, std::less<>> settings_;
  bool is_on_ = false;
  double set_amps_ = 0.0;
};

/// A load whose reading breaches the envelope after so many readings with current, again and again.
class BreachingLoad final : public CannedLoad {
 public:
  /// `readings_max` 0: never; else each draw breaches at its first to readings_max-th reading, by turns.
  explicit BreachingLoad(int readings_max) : readings_max_(readings_max) {}
  void about_to_answer() override;

  /// CLOCK_MONOTONIC just before a breaching answer went to the kernel; 0 while there is none. Any thread.
  std::atomic<std::int64_t> breached_ns{0};

 private:
  double measured_amps() override;

  int readings_max_;
  int readings_ = 0;
  int draws_ = 0;
  bool is_breaching_ = false;
};

/// A charger after config/profiles/generic_modbus_charger.toml, which is unit 1.
class CannedCharger final : public Canned {
 public:
  enum class Framing { rtu, tcp };
  explicit CannedCharger(Framing framing) : framing_(framing) {}
  void receive(std::string_view bytes, std::string& answers) override;

 private:
  std::size_t frame_size() const;
  std::string answer_to(std::string_view request);

  Framing framing_;
  std::string input_;
  std::map<int, std::uint16_t> holding_;
};

/// One of them at the end of a memory link.
class CannedDevice final : public MemoryDevice {
 public:
  explicit CannedDevice(Canned& instrument) : instrument_(instrument) {}
  void receive(std::string_view bytes, MemoryPort& port) override;

 private:
  Canned& instrument_;
  std::string answers_;
};

}  // namespace leadwright
