// SPDX-License-Identifier: Apache-2.0
// What load, charger and thermometer of the simulated bench share: their place in time, their meters with
// errors, and faults that a test or a demo may switch on.
#pragma once

#include <deque>
#include <functional>
#include <optional>
#include <string>
#include <string_view>

#include "daemon/clock/clock.h"
#include "protocol/result.h"
#include "tools/benchsim/scpi_device.h"
#include "tools/benchsim/sim_random.h"
#include "tools/benchsim/terminals.h"

namespace leadwright {

/// How one instrument is built. The accuracy itself is that of the profile config/profiles/simulated_*.toml.
struct SimInstrumentOptions {
  std::string serial;      ///< shown in *IDN?
  bool ideal = false;      ///< 1 mV, 1 mA, 0.01 K, no error, no settling
  std::uint64_t seed = 1;  ///< of the errors
};

/// Accuracy as a profile declares it: |error| <= relative x |value| + absolute, shown in steps of
/// `resolution`.
struct SimAccuracy {
  double relative = 0.0;
  double absolute = 0.0;
  double resolution = 0.001;
};

/// One measuring chain: a fixed gain and offset drawn once, and noise, together always within the accuracy.
class Meter {
 public:
  /// Without error but for the resolution.
  explicit Meter(double resolution) : resolution_(resolution) {}
  Meter(SimAccuracy accuracy, SimRandom& random);
  /// `value` with gain and offset, not rounded.
  double biased(double value) const { return value * (1.0 + gain_) + offset_; }
  double shown(double value, SimRandom& random) const;

 private:
  double resolution_;
  double gain_ = 0.0;
  double offset_ = 0.0;
  double noise_ = 0.0;
};

class SimInstrument : public ScpiDevice {
 public:
  enum class Fault {
    ignores_off,     ///< takes off commands, stays on
    stuck_reading,   ///< answers its last readings for ever
    no_answer,       ///< hears, obeys, says nothing
    wrong_identity,  ///< another instrument answers on this line
  };

  SimInstrument(std::string_view role, SimInstrumentOptions options, Terminals& terminals,
                const Clock& bench);

  void set_fault(Fault fault, bool on);
  bool has_fault(Fault fault) const { return (faults_ & (1U << static_cast<unsigned>(fault))) != 0; }
  static std::optional<Fault> fault_of(std::string_view word);
  /// As ScpiDevice::receive, with the fault "no answer" applied.
  void exchange(std::string_view bytes, std::string& answers);

 protected:
  Terminals& terminals() { return terminals_; }
  const Terminals& terminals() const { return terminals_; }
  bool is_ideal() const { return options_.ideal; }
  SimRandom& random() { return random_; }
  Instant now() const { return now_; }
  Meter meter(SimAccuracy accuracy);
  /// A setpoint took effect now: readings approach from `before` with the meter's settling.
  void jumped(Ampere before);
  /// `value` as the meter shows it, or the last shown if the reading is stuck. `slot` 0 or 1 keeps them
  /// apart.
  double reading(const Meter& meter, double value, int slot);
  /// The five words of one protection (level, level?, STATe, TRIPped?, CLEar) under `node`, off at power-up.
  /// Level and state go to `limit`, absent while the state is off.
  template <class T>
  void add_protection(std::string_view node, double level_max, ProtectionLimit<T>& protection) {
    add_protection_words(
        node, level_max,
        [&protection](std::optional<double> level) {
          protection.limit = level ? std::optional<T>(T(*level)) : std::nullopt;
        },
        protection.tripped);
  }
  /// All protections off and cleared, as at power-up.
  void reset_protections();
  /// What is left of the last jump of the current, for the reading of amps.
  double unsettled_amps(Ampere present) const;

 private:
  /// Level and state as the words set them.
  struct ProtectionWords {
    double level_max;
    double level;
    bool enabled;
    bool& tripped;
    std::function<void(std::optional<double>)> apply;
  };
  void add_protection_words(std::string_view node, double level_max,
                            std::function<void(std::optional<double>)> apply, bool& tripped);
  void begin_message() override;

  SimInstrumentOptions options_;
  Terminals& terminals_;
  const Clock& bench_;
  SimRandom random_;
  Instant now_;
  Instant jump_at_;
  Ampere jump_from_;
  unsigned faults_ = 0;
  std::optional<double> last_[2];
  std::deque<ProtectionWords> protections_;
  std::string unheard_;
};

}  // namespace leadwright
