// SPDX-License-Identifier: Apache-2.0
// What one kind of instrument understands, read from a TOML file: our capability names mapped to its words.
// For: instruments, settings, the procedure checker. Immutable after loading; any thread. Never: talks.
// Read next: instrument.h (who speaks through it), config/profiles/ (the files).
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "daemon/quantities/quantity.h"
#include "drivers/link.h"
#include "protocol/result.h"

namespace leadwright {

enum class Role { load, charger, thermometer };
const char* word(Role role);

/// What a profile may be able to do beyond a sample. `enable` is `input` of a load and `output` of a charger.
enum class Capability {
  set_amps,
  set_volts,
  limit_amps,
  enable,
  cutoff_volts,
  trip_amps,
  trip_volts,
  faults,
  clear_faults,
};
/// The key in a profile ("set_amps"); `enable` is "enable", whatever the role.
const char* word(Capability capability);

enum class ReadingOf { volts, amps, temperature };

/// A measured current must come to within max(absolute, relative x setting) of its setting in this bench
/// time.
struct Follow {
  Ampere absolute;
  double relative = 0.0;
  Second within;
};

/// Limits of error of one kind of reading, as the data sheet states them (a rectangular distribution).
template <class Difference>
struct ReadingAccuracy {
  double relative = 0.0;
  Difference absolute;
  Difference resolution;
};

/// One field of an expected answer: the value itself, a fixed word, or anything.
struct ExpectedField {
  enum class Kind { value, word, any } kind = Kind::value;
  std::string word;
};

/// A question whose answer proves a setting. Tolerances are in the setting's unit.
struct Readback {
  std::string ask;
  std::vector<ExpectedField> reply;
  double absolute = 0.0;
  double relative = 0.0;
};

/// A number that can be set. `head` and `tail` are the command before and after it; min and max are in the
/// unit of the capability (volts or amperes).
struct Setting {
  Capability capability = Capability::set_amps;
  std::string head;
  std::string tail;
  int decimals = 3;
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
  std::vector<std::pair<std::string, bool>> meaning;  ///< of the answers to `ask`
  Second settle;
};

/// What the instrument's own protection reports: bits of one number, or one number a name.
struct FaultReport {
  std::string ask;
  std::vector<std::pair<int, std::string>> bits;
  std::vector<std::string> names;
};

struct SafeState {
  struct Check {
    std::string ask;
    std::string equals;
  };
  struct Proof {
    ReadingOf read = ReadingOf::amps;
    Ampere below;
    Second within;
  };
  std::vector<std::string> commands;  ///< sent in this order
  std::vector<Check> checks;
  std::optional<Proof> proof;
};

struct LinkNeeds {
  std::vector<LinkAddress::Kind> allowed;
  SerialSettings serial;
  int tcp_port = 5025;
  Second timeout{0.3};  ///< machine time, for one whole exchange
  Second gap;           ///< machine time, least between two messages
  std::size_t reply_max_bytes = 512;
  bool allows(LinkAddress::Kind kind) const;
};

struct IdentityRule {
  std::string ask;
  std::string match;  ///< POSIX extended regular expression for the whole answer
  bool pin_model = false;
  bool pin_serial = false;
};

struct ErrorQueue {
  std::string ask;  ///< empty: the instrument has no error queue
  int ok = 0;
  std::string power_cycle_ask;  ///< empty: power cycles can't be seen
  int power_cycle_bit = 7;
  std::string fence;  ///< with {n}; empty: none
};

struct Profile {
  std::string file;
  std::string name;
  Role role = Role::load;
  IdentityRule identity;
  LinkNeeds link;
  ErrorQueue errors;
  SafeState safe;
  Second stale;          ///< no fresh sample for this long while energised: off
  int frozen_after = 0;  ///< equal readings in a row while current flows; 0: never
  Second recheck;        ///< how often limits, power cycle and identity are looked at again
  std::vector<Setting> settings;
  std::optional<Switch> enable;
  std::optional<FaultReport> faults;
  std::string clear_faults;  ///< empty: none
  std::string sample_ask;
  std::vector<ReadingOf> sample_reply;
  ReadingAccuracy<Volt> volts_accuracy;
  ReadingAccuracy<Ampere> amps_accuracy;
  ReadingAccuracy<Kelvin> temperature_accuracy;
  /// What the work current can be: set_amps of a load, limit_amps of a charger.
  std::optional<Ampere> amps_min;
  std::optional<Ampere> amps_max;
  /// What a charger's voltage can be.
  std::optional<Volt> volts_min;
  std::optional<Volt> volts_max;

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
