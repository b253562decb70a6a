// SPDX-License-Identifier: Apache-2.0
// Eight relays with normally open contacts, eight inputs, and what may be wrong with them. What the contacts
// switch is contacts.h.
#pragma once

#include <array>
#include <functional>
#include <optional>
#include <string_view>

#include "tools/benchsim/sim_instrument.h"

namespace leadwright {

enum class RelayFault {
  none,
  stuck_open,  ///< the contact does not close
  welded,      ///< the contact does not open
  ignored,     ///< the box takes the command, answers well and leaves the coil as it is
};
/// The fault as commands name it ("stuck_open"; "sound" is none).
std::optional<RelayFault> relay_fault_of(std::string_view word);

class RelayPart final : public SimPart {
 public:
  static constexpr int outputs = 8;
  static constexpr int inputs = 8;

  explicit RelayPart(SimInstrument& whole) { whole.add(*this); }

  /// What the coil is, which is what it was told unless it ignores that.
  bool coil(int output) const { return at(output).coil; }
  void set_coil(int output, bool on);
  /// Whether the main contact is closed.
  bool is_closed(int output) const;
  void set_fault(int output, RelayFault fault);
  bool input(int input) const { return inputs_.at(static_cast<std::size_t>(input)); }
  void set_input(int input, bool on) { inputs_.at(static_cast<std::size_t>(input)) = on; }

  /// Called after each change of a contact, at a settled instant.
  std::function<void()> on_switched;

  /// All coils go off at this instant; nothing: they don't.
  void switch_off_at(std::optional<Instant> instant) { off_at_ = instant; }
  std::optional<Instant> off_at() const { return off_at_; }
  /// That instant has come.
  void expire();
  bool is_expired() const { return is_expired_; }
  void forgive() { is_expired_ = false; }

  void reset() override;
  void mains_lost() override;
  void mains_back() override;

 private:
  struct Output {
    bool coil = false;
    bool was_on = false;
    RelayFault fault = RelayFault::none;
  };
  Output& at(int output) { return outputs_.at(static_cast<std::size_t>(output)); }
  const Output& at(int output) const { return outputs_.at(static_cast<std::size_t>(output)); }
  void all_off();
  void switched() const {
    if (on_switched) on_switched();
  }

  std::array<Output, outputs> outputs_;
  std::array<bool, inputs> inputs_{};
  std::optional<Instant> off_at_;
  bool is_expired_ = false;
};

}  // namespace leadwright
