// SPDX-License-Identifier: Apache-2.0
// What every simulated instrument is, whatever it is made of and whatever it speaks: its place in time, the
// posts that its leads are on, its mains, its faults. What it is made of are parts (charger_part.h,
// load_part.h, thermometer_part.h, relay_part.h), what it speaks is scpi_instrument.h or modbus_instrument.h.
// Owned by SimBench. Thread: the bench's.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/clock/clock.h"
#include "tools/benchsim/meter.h"
#include "tools/benchsim/sim_fault.h"
#include "tools/benchsim/sim_random.h"
#include "tools/benchsim/terminals.h"

namespace leadwright {

/// How one instrument is built. The accuracy itself is that of the profile config/profiles/simulated_*.toml.
struct SimInstrumentOptions {
  std::string serial;      ///< its name, shown in *IDN?
  bool ideal = false;      ///< 1 mV, 1 mA, 0.01 K, no error, no settling
  std::uint64_t seed = 1;  ///< of the errors
  bool heavy = false;      ///< a load for half the cranking current
  /// The noise of a reading follows from its moment, not from how often was read before.
  bool noise_by_moment = false;
};

/// What hangs at the end of a line: bytes in, answers out.
class LineEnd {
 public:
  virtual ~LineEnd() = default;
  /// Takes bytes in any pieces; appends the answers to all messages that they complete.
  virtual void exchange(std::string_view bytes, std::string& answers) = 0;
  /// A message came before the answer to the last one was sent: that answer is lost.
  virtual void interrupted() {}
  /// A new client is connected: what the last one left unfinished is forgotten.
  virtual void connected() {}
};

/// One thing that an instrument does at its posts.
class SimPart {
 public:
  virtual ~SimPart() = default;
  /// Everything off and at its default, as after power-up.
  virtual void reset() {}
  /// Without mains nothing flows; when they are back, what was on is on again unless reset() comes first.
  virtual void mains_lost() {}
  virtual void mains_back() {}
  virtual void faults_changed() {}
  /// The leads go from one pair of posts to another, both settled.
  virtual void move(Terminals&, Terminals&) {}
};

class SimInstrument : public LineEnd {
 public:
  using Fault = SimFault;

  SimInstrument(SimInstrumentOptions options, Terminals& posts, const Clock& bench);
  SimInstrument(const SimInstrument&) = delete;
  SimInstrument& operator=(const SimInstrument&) = delete;

  const std::string& name() const { return options_.serial; }

  void set_fault(Fault fault, bool on);
  bool has_fault(Fault fault) const { return (faults_ & (1U << static_cast<unsigned>(fault))) != 0; }

  /// Off and on: everything at its default, and the instrument says so where its protocol can.
  void power_cycle();
  /// Nothing flows, nothing is heard, until the mains are back.
  void lose_mains();
  /// `as_it_was`: with its settings, and on if it was on; else as after power-up. Either way it says that it
  /// was restarted.
  void restore_mains(bool as_it_was);
  bool has_mains() const { return has_mains_; }

  /// Its leads go to other posts, with everything that it is set to. Both are settled.
  void connect(Terminals& posts);

  // For its parts and its protocol.
  Terminals& posts() { return *posts_; }
  const Terminals& posts() const { return *posts_; }
  void add(SimPart& part) { parts_.push_back(&part); }
  void reset_parts();
  /// Brings posts and instrument to the present.
  void begin();
  Instant now() const { return now_; }
  const Clock& bench() const { return bench_; }
  bool is_ideal() const { return options_.ideal; }
  /// What the noise of its `channel` is drawn from now. Valid until the next call.
  SimRandom& noise(std::uint64_t channel);
  std::uint64_t add_channel() { return channels_++; }
  Meter meter(SimAccuracy accuracy);

 private:
  virtual void restarted() {}
  virtual void fault_changed(Fault, bool) {}

  SimInstrumentOptions options_;
  Terminals* posts_;
  const Clock& bench_;
  SimRandom random_;
  std::uint64_t moments_seed_ = 0;
  SimRandom of_moment_{0};
  std::uint64_t channels_ = 0;
  Instant now_;
  unsigned faults_ = 0;
  bool has_mains_ = true;
  std::vector<SimPart*> parts_;
};

/// One of the readings of an instrument, with what a meter and the faults of readings make of it.
class Display {
 public:
  /// `range` is the most that it shows.
  Display(SimInstrument& whole, SimAccuracy accuracy, double range)
      : whole_(whole), meter_(whole.meter(accuracy)), channel_(whole.add_channel()), range_(range) {}
  double show(double value);

 private:
  SimInstrument& whole_;
  Meter meter_;
  std::uint64_t channel_;
  double range_;
  std::optional<double> last_;
};
/// What a display shows where it can't measure.
constexpr double overload_shown = 9.9e37;

/// What a reading of amps still lacks after a step of the current.
class Settling {
 public:
  explicit Settling(const SimInstrument& whole) : whole_(whole) {}
  /// A setpoint took effect now.
  void jumped(Ampere before);
  double left(Ampere present) const;

 private:
  const SimInstrument& whole_;
  Instant at_;
  Ampere from_;
};

}  // namespace leadwright
