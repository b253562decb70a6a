// SPDX-License-Identifier: Apache-2.0
// A box of switched outputs (contactors, selectors, a siren) and inputs (stop, smoke, gas, airflow). Owned by
// the bench. Thread: control; one coroutine a box, and those of the places that switch its outputs. Never:
// closes a contact by itself. Read next: contact.h (one output and what proves it), shared_instrument.h.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "daemon/settings/settings.h"
#include "daemon/switchgear/connection.h"

namespace leadwright {

class Box {
 public:
  /// Machine time between two looks at the inputs.
  static constexpr Second look_period{0.1};
  /// An input counts when it reads so this often in a row: one look may be a flipped bit.
  static constexpr int looks_agreeing = 2;

  Box(std::unique_ptr<Instrument> instrument, const BoxSettings& settings, BenchKind bench);

  const std::string& name() const { return instrument_->name(); }
  InstrumentWatch& watch() { return watch_; }
  /// Connected and heard within its freshness limit.
  bool is_ready() const { return ready_; }
  /// What keeps it from being ready, one sentence; empty if nothing does.
  const std::string& problem() const { return problem_; }

  /// Starts the box's coroutine: connects, which opens every contact, then looks at the inputs.
  void open();

  /// Why nothing may be energised on the bench: an input that is not well, or a box with inputs that nobody
  /// hears. Nothing if all is well.
  std::optional<std::string> alarm() const;
  /// True if an input is not well, as far as anybody has heard.
  bool is_calling() const { return calling_ != nullptr; }
  /// Called when an alarm begins.
  std::function<void(const std::string& alarm)> on_alarm;
  /// Whether the siren should sound; asked at every look. Unset: never.
  std::function<bool()> siren_wanted;

  /// Switches an output and reads it back; with the input that follows it (a mirror contact: open while the
  /// main contact is closed is not assumed, it must read as the output does). Fails with not_verified if
  /// either differs. Before it is switched on the box's heartbeat is armed and read back.
  Task<Result<void>> switch_output(int output, bool on, std::optional<int> mirror);
  /// The off path for one output: synchronous, no allocation.
  bool off_now(int output) noexcept { return instrument_->output_off_now(output); }

 private:
  class Turn;
  Task<void> live_on();
  Task<Result<void>> join();
  Task<void> look();
  /// Feeds the heartbeat and, as often as the profile rechecks, arms it anew.
  Task<void> keep_heartbeat();
  void judge(std::uint32_t bits);
  Task<void> sound();
  void tell_alarm();

  std::unique_ptr<Instrument> instrument_;
  InstrumentWatch watch_;
  struct Heard {
    BoxInputSettings input;
    int looks_bad = 0;
  };
  std::vector<Heard> inputs_;
  std::optional<int> siren_;
  BenchKind bench_;
  Signal freed_;
  Instant arm_due_;
  bool taken_ = false;
  bool ready_ = false;
  bool siren_is_on_ = false;
  bool is_told_ = false;
  std::string problem_ = "connecting";
  const Heard* calling_ = nullptr;
  Job job_;
};

}  // namespace leadwright
