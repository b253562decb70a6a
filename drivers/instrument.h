// SPDX-License-Identifier: Apache-2.0
// One instrument behind one link, spoken to through a profile. For: load, charger and thermometer of a
// place. Owned by the place that leases it. Thread: control; one exchange at a time. Never: decides what to
// do about an error (the place does), and never energises by itself. Read next: profile.h, link.h.
#pragma once

#include <memory>
#include <optional>
#include <string>

#include "daemon/quantities/quantity.h"
#include "drivers/conversation.h"
#include "drivers/link.h"
#include "drivers/profile.h"

namespace leadwright {

/// One sample of one instrument. What it could not measure (overload, not a number) is missing.
/// `amps` is in the instrument's own sense: a load counts what it draws, a charger what it gives.
struct Reading {
  Instant at;  ///< middle of the exchange, on the clock given to the instrument
  std::optional<Volt> volts;
  std::optional<Ampere> amps;
  std::optional<Celsius> temperature;
};

struct Identity {
  std::string maker;
  std::string model;
  std::string serial;
  std::string firmware;
  /// Bench seconds per second of a simulated instrument, from a firmware field "sim-SCALE"; absent for a real
  /// one.
  std::optional<double> simulated_scale;
};

enum class LinkState { closed, opening, identified, ready, degraded, lost };
const char* word(LinkState state);

class Instrument {
 public:
  /// `machine` measures deadlines and gaps, `bench` stamps readings (the same clock unless scaled).
  Instrument(std::string name, std::unique_ptr<Link> link, const Profile& profile, Clock& machine,
             Clock& bench);

  const std::string& name() const { return name_; }
  const Profile& profile() const { return profile_; }
  const std::optional<Identity>& identity() const { return identity_; }
  LinkState state() const { return state_; }
  const LinkCounters& counters() const { return conversation_.counters(); }
  Link& link() { return *link_; }

  /// Opens the link, makes it quiet, checks the identity against the profile. Error messages name what
  /// answered. Sends the safe sequence before it waits for any answer: an instrument that was left on goes
  /// off first.
  Task<Result<void>> connect();
  /// Off, and read back as off; repeated `attempts` times at most. Urgent bytes first.
  Task<Result<void>> make_safe(int attempts = 3);
  /// The off path: bytes built at construction, synchronous, no allocation. True if the kernel took them.
  bool off_now() noexcept;

  /// One combined exchange.
  Task<Result<Reading>> sample();

  /// Each sets, reads back and compares (not_verified if it differs). A capability that the profile lacks is
  /// `unsupported`; a value outside its range is `bad_input`. `trip_*` and `cutoff` programme the
  /// instrument's own protection.
  Task<Result<void>> set_amps(Ampere amps);    ///< load setpoint
  Task<Result<void>> set_volts(Volt volts);    ///< charger setpoint
  Task<Result<void>> limit_amps(Ampere amps);  ///< charger current limit
  Task<Result<void>> trip_amps(Ampere amps);
  Task<Result<void>> trip_volts(Volt volts);
  Task<Result<void>> cutoff_volts(Volt volts);  ///< load: low-voltage cut-off
  Task<Result<void>> enable(bool on);
  /// What the instrument's own protection says: empty if nothing tripped.
  Task<Result<std::string>> faults();
  Task<Result<void>> clear_faults();
  /// True if power was cycled since the last call (standard event status, PON).
  Task<Result<bool>> power_was_cycled();

  void close() noexcept;

 private:
  Task<Result<void>> open();
  Task<Result<void>> identify();
  Task<Result<std::string>> ask_again(std::string question, Instant limit);
  Task<Result<void>> set(Capability capability, double value);
  Task<Result<void>> set_once(const Setting& setting, const std::string& command, double value,
                              std::uint64_t off_count);
  Task<Result<void>> switch_once(bool on, std::uint64_t off_count);
  Task<Result<void>> drain_errors(std::string command);
  Task<Result<void>> prove_off();
  Task<Result<void>> check_off();
  Result<Reading> read_sample(std::string_view answer) const;
  Result<Identity> read_identity(const std::string& answer) const;
  Instant freshness_limit() const;
  void note(const Error& error);
  void note_answer();

  std::string name_;
  std::unique_ptr<Link> link_;
  const Profile& profile_;
  Clock& machine_;
  Clock& bench_;
  Conversation conversation_;
  std::optional<Identity> identity_;
  LinkState state_ = LinkState::closed;
  std::string off_bytes_;
  std::string sample_bytes_;
};

}  // namespace leadwright
