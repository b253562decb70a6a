// SPDX-License-Identifier: Apache-2.0
#include "drivers/profile_tables.h"

namespace leadwright {

namespace {

constexpr int io_count_max = 32;

Follow read_follow(const TomlTable& table) {
  if (need_measurand(table, "read") != ReadingOf::amps) {
    table.error("read", "only a current can follow", "write \"read_amps\"");
  }
  return {Ampere(table.need_number("abs")), table.number("rel").value_or(0.0),
          milliseconds(table, "within_ms", 500.0)};
}

}  // namespace

Second milliseconds(const TomlTable& table, std::string_view key, double fallback_ms) {
  const double value = table.number(key).value_or(fallback_ms);
  if (value < 0.0 || value > 3.6e6) table.error(key, "out of range", "write 0 to 3600000");
  return Second(value / 1000.0);
}

std::optional<ReadingOf> measurand_named(std::string_view name) {
  for (const ReadingOf reading : {ReadingOf::volts, ReadingOf::amps, ReadingOf::temperature}) {
    if (name == word(reading)) return reading;
  }
  return std::nullopt;
}

ReadingOf need_measurand(const TomlTable& table, std::string_view key) {
  const std::string name = table.need_string(key);
  const auto measurand = measurand_named(name);
  if (!measurand && !name.empty()) table.error(key, "unknown reading", "write \"read_amps\"");
  return measurand.value_or(ReadingOf::amps);
}

void read_setting_limits(const TomlTable& table, bool is_volts, Setting& setting) {
  const std::string_view range_key = is_volts ? "range_v" : "range_a";
  const std::vector<double> range = table.numbers(range_key);
  if (range.size() == 2 && range[0] < range[1]) {
    setting.min = range[0];
    setting.max = range[1];
  } else {
    table.error(range_key, std::string("needs `").append(range_key).append("` with lowest and highest value"),
                std::string("add ").append(range_key).append(" = [0.0, 10.0]"));
  }
  setting.settle = milliseconds(table, "settle_ms", 0.0);
  if (const auto follow = table.table("follow")) setting.follow = read_follow(*follow);
}

std::optional<SafeState::Proof> read_proof(const TomlTable& safe) {
  const auto prove = safe.table("prove");
  if (!prove) return std::nullopt;
  SafeState::Proof proof;
  proof.read = need_measurand(*prove, "read");
  proof.below = Ampere(prove->need_number("below_a"));
  proof.within = milliseconds(*prove, "within_ms", 1000.0);
  if (proof.read != ReadingOf::amps) {
    prove->error("read", "only read_amps proves off", "write \"read_amps\"");
  }
  return proof;
}

std::optional<std::string> watchdog_kind(const TomlTable& watchdog, std::string_view own) {
  std::string kind = watchdog.string("kind").value_or("none");
  if (kind == "none") return std::nullopt;
  if (kind == own || kind == "poll") return kind;
  watchdog.error("kind", "unknown kind of watchdog",
                 std::string("write \"none\", \"").append(own).append("\" or \"poll\""));
  return std::nullopt;
}

int read_count(const TomlTable& table, std::string_view key) {
  const std::int64_t count = table.need_integer(key);
  if (table.has(key) && (count < 1 || count > io_count_max)) {
    table.error(key, "out of range", "write 1 to 32");
    return 0;
  }
  return static_cast<int>(count);
}

void read_dialect(const TomlTable& root, const DialectTables& tables, Profile& profile) {
  profile.identity = tables.identity(root.need_table("identity"));
  if (tables.errors != nullptr) {
    if (const auto errors = root.table("errors")) profile.errors = tables.errors(*errors);
  }
  const bool is_passive =
      profile.role == Role::thermometer || (profile.role == Role::digital_io && !root.has("outputs"));
  if (!is_passive || root.has("safe")) profile.safe = tables.safe(root.need_table("safe"));
  profile.heartbeat = tables.heartbeat(root.need_table("watchdog"));
  if (const auto can = root.table("can")) {
    for (const SettingKey& key : setting_keys) {
      if (const auto table = can->table(key.key)) profile.settings.push_back(tables.setting(*table, key));
    }
    if (const auto table = can->table("input")) profile.draw = tables.enabling(*table);
    if (const auto table = can->table("output")) profile.give = tables.enabling(*table);
    if (const auto table = can->table("faults")) profile.faults = tables.faults(*table);
    if (const auto table = can->table("clear_faults")) profile.clear_faults = tables.clear_faults(*table);
  }
  if (profile.role != Role::digital_io) tables.sample(root.need_table("sample"), profile);
  if (const auto outputs = root.table("outputs")) profile.outputs = tables.outputs(*outputs);
  if (const auto inputs = root.table("inputs")) profile.inputs = tables.inputs(*inputs);
}

}  // namespace leadwright
