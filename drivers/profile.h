// SPDX-License-Identifier: Apache-2.0
// What one kind of instrument understands, read from a TOML file: our capability names mapped to its words or
// registers. A message is what a dialect puts on the line: SCPI text without its line end, or a Modbus PDU.
// For: instruments, settings, the procedure checker. Immutable after loading; any thread. Never: talks.
// Read next: instrument.h (who speaks through it), answers.h (what comes back), config/profiles/ (the files).
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "daemon/quantities/quantity.h"
#include "drivers/link.h"
#include "drivers/pattern.h"
#include "protocol/modbus.h"
#include "protocol/modbus_values.h"
#include "protocol/result.h"

namespace leadwright {

/// `two_quadrant`: one unit that is load and charger; its amps count positive while it gives.
/// `digital_io`: a box of switched outputs (relays, sirens) and inputs (contacts).
enum class Role { load, charger, two_quadrant, thermometer, digital_io };
const char* word(Role role);

enum class DialectKind { scpi, modbus };
const char* word(DialectKind dialect);

/// What a profile may be able to do beyond a sample. `draw` is the switch `input` of what takes current,
/// `give` the switch `output` of what gives it.
enum class Capability {
  set_amps,
  set_volts,
  limit_amps,
  draw,
  give,
  cutoff_volts,
  trip_amps,
  trip_volts,
  faults,
  clear_faults,
};
/// The key in a profile ("set_amps", "input").
const char* word(Capability capability);

/// A sample has at most this many fields.
constexpr std::size_t sample_fields_max = 8;

enum class ReadingOf { volts, amps, temperature };
/// The key in a profile ("read_volts").
const char* word(ReadingOf reading);

/// A measured current must come to within max(absolute, relative x setting) of its setting in this bench
/// time.
struct Follow {
  Ampere absolute;
  double relative = 0.0;
  Second within;
};

/// Limits of error of one kind of reading, as the data sheet states them (a rectangular distribution).
template <class Difference>
struct ErrorLimits {
  double relative = 0.0;
  Difference absolute;
  Difference resolution;
};

/// An instrument with ranges has limits for each: those of the first range that holds the reading count.
template <class Difference>
struct ReadingAccuracy : ErrorLimits<Difference> {
  struct Range : ErrorLimits<Difference> {
    Difference up_to;
  };
  std::vector<Range> ranges;  ///< by `up_to`, rising; empty: one set of limits for everything
  ErrorLimits<Difference> at(Difference reading) const {
    const Difference size = abs(reading);
    for (const Range& range : ranges) {
      if (size <= range.up_to) return range;
    }
    return *this;
  }
};

/// A number in Modbus registers, or one bit: value = raw x scale + offset.
struct RegisterField {
  ModbusSpace space = ModbusSpace::holding;
  int at = 0;  ///< address; in a sample, the index of the first word in the answer
  RegisterType type = RegisterType::u16;
  WordOrder order = WordOrder::abcd;
  double scale = 1.0;
  double offset = 0.0;
  bool is_bit() const { return space == ModbusSpace::coil || space == ModbusSpace::discrete; }
};

/// One field of an expected SCPI answer: the value itself, a fixed word, or anything.
struct ExpectedField {
  enum class Kind { value, word, any } kind = Kind::value;
  std::string word;
};

/// A question whose answer proves a setting. Tolerances are in the setting's unit.
struct Readback {
  std::string ask;
  std::vector<ExpectedField> reply;    ///< SCPI
  std::optional<RegisterField> field;  ///< Modbus
  double absolute = 0.0;
  double relative = 0.0;
};

/// A number that can be set; min and max are in the unit of the capability (volts or amperes).
struct Setting {
  Capability capability = Capability::set_amps;
  std::string head;  ///< SCPI: the command before the number
  std::string tail;  ///< SCPI: the command after it
  int decimals = 3;
  std::optional<RegisterField> field;  ///< Modbus: where it is written
  double min = 0.0;
  double max = 0.0;
  Readback verify;
  Second settle;
  std::optional<Follow> follow;
};

struct Switch {
  std::string on;
  std::string off;
  std::string ask;
  std::vector<std::pair<std::string, bool>> meaning;  ///< of the answers to `ask`, as text
  std::optional<RegisterField> field;                 ///< Modbus: what the answer to `ask` holds
  Second settle;
};

/// What the instrument's own protection reports: bits of one number, or one number (Modbus: one bit) a name.
struct FaultReport {
  std::string ask;
  std::vector<std::pair<int, std::string>> bits;
  std::vector<std::string> names;
  std::optional<RegisterField> field;  ///< Modbus: the number whose bits count
};

struct SafeState {
  struct Check {
    std::string ask;
    std::string equals;
    std::optional<RegisterField> field;  ///< Modbus
    int bits = 1;  ///< Modbus: how many, from the field on; `equals` then counts those set
  };
  struct Proof {
    ReadingOf read = ReadingOf::amps;
    Ampere below;
    Second within;
  };
  std::vector<std::string> commands;  ///< messages, sent in this order
  std::vector<Check> checks;
  std::optional<Proof> proof;
};

/// The instrument switches off by itself when it hears nothing for `limit`.
struct Heartbeat {
  std::string arm;         ///< message; empty: always armed
  SafeState::Check armed;  ///< read back after arming; `ask` empty: can't be
  std::string feed;        ///< message; empty: any message feeds
  Second every;            ///< bench time between two feeds; 0 if any message feeds
  Second limit;
};

struct LinkNeeds {
  std::vector<LinkAddress::Kind> allowed;
  SerialSettings serial;
  int tcp_port = 5025;
  int unit = 1;  ///< Modbus address
  bool is_rtu_over_tcp = false;
  bool echo = false;       ///< the adapter hears what it sends
  Second timeout{0.3};     ///< machine time, for one whole exchange
  Second lock{0.3};        ///< until the line is free of other instruments' exchanges
  Second write{0.3};       ///< until the kernel has taken the message
  Second first_byte{0.3};  ///< from then until an answer begins
  Second next_byte{0.3};   ///< from one piece of an answer to the next
  Second gap;              ///< least between two messages
  int read_retries = 2;
  std::size_t reply_max_bytes = 512;
  bool allows(LinkAddress::Kind kind) const;
};

struct IdentityRule {
  std::string ask;
  Pattern match;                     ///< SCPI: for the whole answer
  std::vector<std::uint16_t> words;  ///< Modbus: what the answer must hold
  std::string simulated_ask;         ///< Modbus: where a simulated unit states its scale; empty: nowhere
  std::optional<RegisterField> simulated;
  std::string serial_ask;  ///< Modbus: where the unit states its serial number; empty: nowhere
  std::optional<RegisterField> serial;
  int serial_words = 0;  ///< Modbus: registers of a serial number in text, two characters each; 0: a number
  bool pin_model = false;
  bool pin_serial = false;
};

struct ErrorQueue {
  std::string ask;  ///< empty: the instrument has no error queue
  int ok = 0;
  std::string power_cycle_ask;  ///< empty: power cycles can't be seen
  int power_cycle_bit = 7;
  std::string fence;  ///< with {n}; empty: none
  bool tag = false;   ///< every question carries its fence, so that no answer can be paired with another
};

struct SampleField {
  ReadingOf of = ReadingOf::volts;
  std::optional<RegisterField> field;  ///< Modbus
  double plausible_min = -1e30;        ///< outside this the answer is garbled, never a value
  double plausible_max = 1e30;
};

/// Switched outputs, numbered from 0. `{n}` in a SCPI template is the number plus `first`.
struct OutputBank {
  int count = 0;
  int first = 1;
  std::string on;   ///< SCPI template
  std::string off;  ///< SCPI template
  std::string ask;  ///< SCPI template
  std::vector<std::pair<std::string, bool>> meaning;
  std::optional<RegisterField> field;  ///< Modbus: output 0; the others follow it
  Second settle;
};

/// Inputs, numbered from 0, read by one question: bits of a number (SCPI), or bits (Modbus).
struct InputBank {
  int count = 0;
  std::string ask;
  std::optional<RegisterField> field;
};

struct Profile {
  std::string file;
  std::string name;
  Role role = Role::load;
  DialectKind dialect = DialectKind::scpi;
  IdentityRule identity;
  LinkNeeds link;
  ErrorQueue errors;
  SafeState safe;
  std::optional<Heartbeat> heartbeat;
  Second stale;          ///< no fresh sample for this long while energised: off
  int frozen_after = 0;  ///< equal readings in a row while current flows; 0: never
  Second recheck;        ///< how often limits, power cycle and identity are looked at again
  std::vector<Setting> settings;
  std::optional<Switch> draw;
  std::optional<Switch> give;
  std::optional<FaultReport> faults;
  std::string clear_faults;  ///< empty: none
  std::string sample_ask;    ///< empty for digital_io
  std::vector<SampleField> sample_fields;
  Second sample_time;  ///< that one measurement takes inside the instrument, as its data sheet says
  OutputBank outputs;
  InputBank inputs;
  ReadingAccuracy<Volt> volts_accuracy;
  ReadingAccuracy<Ampere> amps_accuracy;
  ReadingAccuracy<Kelvin> temperature_accuracy;
  /// What the work current can be: set_amps of a load, limit_amps of a charger.
  std::optional<Ampere> amps_min;
  std::optional<Ampere> amps_max;
  /// What a charger's voltage can be.
  std::optional<Volt> volts_min;
  std::optional<Volt> volts_max;
  std::optional<Watt> watts_max;
  /// The lowest voltage at which a load still draws its full current.
  std::optional<Volt> full_current_volts_min;

  bool draws() const { return role == Role::load || role == Role::two_quadrant; }
  bool gives() const { return role == Role::charger || role == Role::two_quadrant; }
  bool has(Capability capability) const;
  const Setting* setting(Capability capability) const;
  bool measures(ReadingOf measurand) const;
  bool identity_matches(const std::string& answer) const;
};

/// Reads and checks a profile. All mistakes at once, each with file:line:column and how to mend it.
tl::expected<Profile, std::vector<Error>> load_profile(const std::string& path);
/// As above, from text.
tl::expected<Profile, std::vector<Error>> parse_profile(std::string_view text, std::string file_name);

}  // namespace leadwright
