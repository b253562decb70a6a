// SPDX-License-Identifier: Apache-2.0
// Hears the bytes of one instrument's link and knows what they mean: switched on, told off, read back as off,
// a good sample. It reads the wire by itself, as a second opinion on what the drivers make of it. Read next:
// promises.h, which judges by it.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "daemon/clock/instant.h"
#include "daemon/quantities/quantity.h"

namespace leadwright {

class WireEar {
 public:
  enum class Kind { scpi, modbus, relay_box };
  static constexpr Instant long_ago{INT64_MIN / 4};

  explicit WireEar(Kind kind) : kind_(kind) {}

  void hear(bool outward, std::string_view bytes, Instant at);
  /// Another daemon: it has told this instrument nothing yet.
  void daemon_began() {
    said_off_ = false;
    is_proved_ = false;
  }

  /// The words that switch on (close a contact, of a relay box), or off (open all).
  static bool switches_on(Kind kind, std::string_view bytes);
  static bool switches_off(Kind kind, std::string_view bytes);

  Kind kind() const { return kind_; }
  /// This daemon told it off and then read it back as off.
  bool is_proved() const { return is_proved_; }
  Instant on_at() const { return on_at_; }
  Instant off_at() const { return off_at_; }
  /// Middle of the exchange that gave the last good sample: volts and amps, both measured.
  Instant good_at() const { return good_at_; }
  /// When its answer was whole, and what it said.
  Instant heard_at() const { return heard_at_; }
  Volt volts() const { return volts_; }
  Ampere amps() const { return amps_; }
  /// The last time that it was read back as off after it was told so.
  Instant proved_at() const { return proved_at_; }

 private:
  enum class Asked { nothing, state, sample };
  void hear_question(std::string_view bytes, Instant at);
  void hear_line(std::string_view line, Instant at);
  bool hear_frame(Instant at);
  void answered(Instant at);
  void measured(double volts, double amps, Instant at);

  Kind kind_;
  bool said_off_ = false;
  bool is_proved_ = false;
  Instant on_at_ = long_ago;
  Instant off_at_ = long_ago;
  Instant good_at_ = long_ago;
  Instant heard_at_ = long_ago;
  Volt volts_;
  Ampere amps_;
  Instant proved_at_ = long_ago;
  Asked asked_ = Asked::nothing;
  Instant asked_at_;
  std::string number_;  ///< that must come back, SCPI
  std::string came_;
};

}  // namespace leadwright
