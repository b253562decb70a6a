// SPDX-License-Identifier: Apache-2.0
// Pieces that the readers of profile files share. Not for anyone outside drivers/profile_*.cpp.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>

#include "drivers/profile.h"
#include "protocol/toml_reader.h"

namespace leadwright {

/// A capability that sets a number, its key, and whether it is in volts (else amperes).
struct SettingKey {
  const char* key;
  Capability capability;
  bool is_volts;
};
inline constexpr std::array<SettingKey, 6> setting_keys{{
    {"set_amps", Capability::set_amps, false},
    {"set_volts", Capability::set_volts, true},
    {"limit_amps", Capability::limit_amps, false},
    {"cutoff_volts", Capability::cutoff_volts, true},
    {"trip_amps", Capability::trip_amps, false},
    {"trip_volts", Capability::trip_volts, true},
}};

/// A number of milliseconds, not negative.
Second milliseconds(const TomlTable& table, std::string_view key, double fallback_ms);
std::optional<ReadingOf> measurand_named(std::string_view name);
ReadingOf need_measurand(const TomlTable& table, std::string_view key);
/// `range_v` or `range_a`, `settle_ms` and `follow`: the same in both dialects.
void read_setting_limits(const TomlTable& table, bool is_volts, Setting& setting);
std::optional<SafeState::Proof> read_proof(const TomlTable& safe);
/// `kind` of [watchdog]: `own`, which is the dialect's way, or "poll"; nothing if there is none.
std::optional<std::string> watchdog_kind(const TomlTable& watchdog, std::string_view own);
/// Number of outputs or inputs; 1 to 32.
int read_count(const TomlTable& table, std::string_view key);

/// How a dialect says what every profile says. Which tables there are is the same in all.
struct DialectTables {
  IdentityRule (*identity)(const TomlTable& table);
  ErrorQueue (*errors)(const TomlTable& table);  ///< null: the dialect has no error queue
  SafeState (*safe)(const TomlTable& table);
  std::optional<Heartbeat> (*heartbeat)(const TomlTable& watchdog);
  Setting (*setting)(const TomlTable& table, const SettingKey& key);
  Switch (*enabling)(const TomlTable& table);
  FaultReport (*faults)(const TomlTable& table);
  std::string (*clear_faults)(const TomlTable& table);
  void (*sample)(const TomlTable& table, Profile& profile);
  OutputBank (*outputs)(const TomlTable& table);
  InputBank (*inputs)(const TomlTable& table);
};
extern const DialectTables scpi_tables;
extern const DialectTables modbus_tables;

/// Identity, errors, safe state, heartbeat, capabilities, sample, outputs and inputs.
void read_dialect(const TomlTable& root, const DialectTables& tables, Profile& profile);

}  // namespace leadwright
