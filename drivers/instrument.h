// SPDX-License-Identifier: Apache-2.0
// One instrument on one line, spoken to through a profile. For: the instruments of a place, and the boxes
// that several places share. Owned by the bench. Thread: control; one exchange at a time. Never: decides what
// to do about an error (the place does), and never energises by itself. Read next: profile.h, conversation.h.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

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

/// "MAKER MODEL SERIAL"
std::string shown(const Identity& identity);

enum class LinkState { closed, opening, identified, ready, degraded, lost };
const char* word(LinkState state);

class Instrument {
 public:
  /// Where an instrument hangs: a line that it may share, what kind of link that is, and its Modbus unit
  /// there.
  struct Wiring {
    std::shared_ptr<Line> line;
    LinkAddress::Kind kind = LinkAddress::Kind::memory;
    int unit = 1;
    std::string calibration_due = {};  ///< last day, "2027-03-01"; empty if nobody said
  };
  /// `machine` measures deadlines and gaps, `bench` stamps readings (the same clock unless scaled).
  Instrument(std::string name, Wiring wiring, const Profile& profile, Clock& machine, Clock& bench);
  /// Alone on a link to the unit that the profile names.
  Instrument(std::string name, std::unique_ptr<Link> link, const Profile& profile, Clock& machine,
             Clock& bench, LinkAddress::Kind kind = LinkAddress::Kind::memory);

  const std::string& name() const { return name_; }
  const Profile& profile() const { return profile_; }
  /// Last day of its calibration, "2027-03-01"; empty if nobody said.
  const std::string& calibration_due() const { return calibration_due_; }
  const std::optional<Identity>& identity() const { return identity_; }
  LinkState state() const { return state_; }
  /// When last told to be off it answered that it was not: true until it was read back as off, also while it
  /// is away.
  bool refuses_off() const { return refuses_off_; }
  const LinkCounters& counters() const { return conversation_.counters(); }
  Link& link() { return conversation_.link(); }

  /// Opens the link and sends the safe sequence, without waiting for anything else. connect() goes on from
  /// here.
  Task<Result<void>> reach();
  /// Opens the link, makes it quiet, checks the identity against the profile. Error messages name what
  /// answered. Sends the safe sequence before it waits for any answer: an instrument that was left on goes
  /// off first.
  Task<Result<void>> connect();
  /// Asks once more who answers here. Fails with conflict if it is another instrument than connect() found.
  Task<Result<void>> check_identity();
  /// Off, and read back as off; repeated `attempts` times at most. Urgent bytes first.
  Task<Result<void>> make_safe(int attempts = 3);
  /// The off path: bytes built at construction, synchronous, no allocation. True if the kernel took them, or
  /// surely will within off_within().
  bool off_now() noexcept;
  /// The bound of the off path, for each link: machine time until the kernel has the bytes.
  Second off_within() const { return conversation_.urgent_within(); }
  /// Passes instruments that are not energised, where the line is shared.
  void set_energised(bool energised) { conversation_.set_energised(energised); }

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
  /// The Modbus unit; 1 for other dialects.
  int unit() const { return unit_; }
  /// The switch of the role; a two-quadrant unit is told which of its two is meant.
  Task<Result<void>> enable(bool on);
  Task<Result<void>> enable(Capability which, bool on);
  /// What the instrument's own protection says: empty if nothing tripped.
  Task<Result<std::string>> faults();
  Task<Result<void>> clear_faults();
  /// True if power was cycled since the last call (standard event status, PON).
  Task<Result<bool>> power_was_cycled();
  /// Arms the instrument's own switch-off by silence and reads it back; nothing to do if it has none.
  Task<Result<void>> arm_heartbeat();
  /// Reads back that it still is: not_verified if it was forgotten. Nothing to do if it can't be read.
  Task<Result<void>> check_heartbeat();
  /// Feeds it, if it needs a message of its own and that is due.
  Task<Result<void>> feed_heartbeat();

  /// Outputs and inputs of a box, numbered from 0. An output is read back after it is switched.
  Task<Result<void>> set_output(int output, bool on);
  Task<Result<bool>> read_output(int output);
  /// The off path for one output: see off_now().
  bool output_off_now(int output) noexcept;
  /// Bit n is input n.
  Task<Result<std::uint32_t>> read_inputs();

  void close() noexcept;

 private:
  Task<void> await_boot();
  Task<Result<void>> identify();
  Task<Result<void>> identify_registers();
  tl::unexpected<Error> nobody_answered();
  tl::unexpected<Error> is_other(const std::string& answer);
  Result<void> accept(Identity found, const std::string& answer);
  Task<Result<std::string>> ask_again(std::string message, Instant limit);
  Task<Result<void>> set(Capability capability, double value);
  Task<Result<void>> set_once(const Setting& setting, const std::string& message, double value, OffGuard off);
  Task<Result<void>> switch_once(const Switch& enabling, bool on, OffGuard off);
  Task<Result<void>> drain_errors(std::string after);
  Task<Result<void>> prove_off();
  Task<Result<void>> check_off();
  Instant freshness_limit() const;
  void note(const Error& error);
  void note_answer();

  std::string name_;
  int unit_;
  std::string calibration_due_;
  const Profile& profile_;
  Clock& machine_;
  Clock& bench_;
  Conversation conversation_;
  std::optional<Identity> identity_;
  LinkState state_ = LinkState::closed;
  bool refuses_off_ = false;
  std::string off_bytes_;
  std::uint64_t off_count_ = 0;
  struct Output {
    Switch enabling;
    std::string off_bytes;
    std::uint64_t off_count = 0;
  };
  std::vector<Output> outputs_;
  Instant feed_due_;
  Instant booted_at_;
};

/// Connected, even if its last answer did not come or was wrong.
inline bool is_there(const Instrument& instrument) {
  return instrument.state() == LinkState::ready || instrument.state() == LinkState::degraded;
}

}  // namespace leadwright
