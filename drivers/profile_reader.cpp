// SPDX-License-Identifier: Apache-2.0
// Profile files to Profile. What a file says about one capability is read in profile_capabilities.cpp.
#include "drivers/pattern.h"
#include "drivers/profile.h"
#include "drivers/profile_tables.h"

namespace leadwright {

namespace {

Role read_role(const TomlTable& root) {
  const std::string text = root.need_string("role");
  if (text == "charger") return Role::charger;
  if (text == "thermometer") return Role::thermometer;
  if (!text.empty() && text != "load") {
    root.error("role", "unknown role", "write \"load\", \"charger\" or \"thermometer\"");
  }
  return Role::load;
}

IdentityRule read_identity(const TomlTable& table) {
  IdentityRule rule;
  rule.ask = need_message(table, "ask");
  rule.match = table.need_string("match");
  if (!is_pattern(rule.match)) {
    table.error("match", "not a regular expression", "write a POSIX extended one");
  }
  for (const std::string& field : table.strings("pin")) {
    if (field == "model") {
      rule.pin_model = true;
    } else if (field == "serial") {
      rule.pin_serial = true;
    } else {
      table.error("pin", std::string("can't pin ").append(field), "pin \"model\" and \"serial\" only");
    }
  }
  return rule;
}

SerialSettings read_serial(const TomlTable& table) {
  SerialSettings serial;
  serial.baud = static_cast<int>(table.integer("baud").value_or(9600));
  serial.bits = static_cast<int>(table.integer("bits").value_or(8));
  serial.stop = static_cast<int>(table.integer("stop").value_or(1));
  serial.boot = milliseconds(table, "boot_ms", 0.0);
  const std::string parity = table.string("parity").value_or("none");
  if (parity == "even") {
    serial.parity = SerialSettings::Parity::even;
  } else if (parity == "odd") {
    serial.parity = SerialSettings::Parity::odd;
  } else if (parity != "none") {
    table.error("parity", "unknown parity", "write \"none\", \"even\" or \"odd\"");
  }
  if (serial.bits != 7 && serial.bits != 8) table.error("bits", "7 or 8 bits only", "write bits = 8");
  if (serial.stop != 1 && serial.stop != 2) table.error("stop", "1 or 2 stop bits only", "write stop = 1");
  return serial;
}

LinkNeeds read_link(const TomlTable& table) {
  LinkNeeds needs;
  for (const std::string& kind : table.strings("allow")) {
    if (kind == "serial") {
      needs.allowed.push_back(LinkAddress::Kind::serial);
    } else if (kind == "tcp") {
      needs.allowed.push_back(LinkAddress::Kind::tcp);
    } else if (kind == "memory") {
      needs.allowed.push_back(LinkAddress::Kind::memory);
    } else {
      table.error("allow", std::string("unknown kind of link: ").append(kind),
                  "write \"serial\", \"tcp\" or \"memory\"");
    }
  }
  if (!table.has("allow")) table.error("allow", "missing key `allow`", "add allow = [\"serial\"]");
  if (const auto serial = table.table("serial")) needs.serial = read_serial(*serial);
  if (const auto tcp = table.table("tcp")) needs.tcp_port = static_cast<int>(tcp->need_integer("port"));
  needs.timeout = milliseconds(table, "timeout_ms", 300.0);
  needs.gap = milliseconds(table, "gap_ms", 0.0);
  const std::int64_t reply_max = table.integer("reply_max_bytes").value_or(512);
  if (reply_max < 16 || reply_max > 65536) {
    table.error("reply_max_bytes", "out of range", "write 16 to 65536");
  } else {
    needs.reply_max_bytes = static_cast<std::size_t>(reply_max);
  }
  return needs;
}

ErrorQueue read_errors(const TomlTable& table) {
  ErrorQueue errors;
  errors.ask = message(table, "ask");
  errors.ok = static_cast<int>(table.integer("ok").value_or(0));
  if (const auto cycle = table.table("power_cycle")) {
    errors.power_cycle_ask = need_message(*cycle, "ask");
    errors.power_cycle_bit = static_cast<int>(cycle->need_integer("bit"));
  }
  errors.fence = message(table, "fence");
  if (!errors.fence.empty() && errors.fence.find("{n}") == std::string::npos) {
    table.error("fence", "a fence needs the placeholder {n}", "write \"*ESE {n};*ESE?\"");
  }
  return errors;
}

SafeState read_safe(const TomlTable& table) {
  SafeState safe;
  safe.commands = table.strings("do");
  for (const std::string& command : safe.commands) refuse_line_ends(table, "do", command);
  for (const TomlTable& check : table.tables("verify")) {
    safe.checks.push_back({need_message(check, "ask"), check.need_string("equals")});
  }
  if (safe.commands.empty()) table.error("do", "nothing switches it off", "add do = [\"...\"]");
  if (safe.checks.empty()) table.error("verify", "off can't be verified", "add verify = [{ ask, equals }]");
  if (const auto prove = table.table("prove")) {
    SafeState::Proof proof;
    proof.read = need_measurand(*prove, "read");
    proof.below = Ampere(prove->need_number("below_a"));
    proof.within = milliseconds(*prove, "within_ms", 1000.0);
    if (proof.read != ReadingOf::amps)
      prove->error("read", "only read_amps proves off", "write \"read_amps\"");
    safe.proof = proof;
  }
  return safe;
}

void read_watchdog(const TomlTable& table, Profile& profile) {
  if (table.string("kind").value_or("none") != "none") {
    table.error("kind", "only \"none\" is known here", "write kind = \"none\"");
  }
  profile.stale = milliseconds(table, "stale_ms", 0.0);
  profile.frozen_after = static_cast<int>(table.integer("frozen_after").value_or(0));
  profile.recheck = Second(table.need_number("recheck_s"));
  if (profile.stale <= Second(0.0)) table.error("stale_ms", "must be above 0", "write stale_ms = 1000");
  if (profile.frozen_after < 0) table.error("frozen_after", "must not be negative", "write 0 for never");
}

void read_sample(const TomlTable& table, Profile& profile) {
  profile.sample_ask = need_message(table, "ask");
  for (const std::string& field : table.strings("reply")) {
    const auto measurand = measurand_named(field);
    if (measurand) {
      profile.sample_reply.push_back(*measurand);
    } else {
      table.error("reply", std::string("unknown reading: ").append(field),
                  "write \"read_volts\", \"read_amps\" or \"read_temperature\"");
    }
  }
  if (profile.sample_reply.size() > sample_fields_max) table.error("reply", "too many fields", {});
}

template <class Difference>
ReadingAccuracy<Difference> read_accuracy(const TomlTable& table, std::string_view key, bool is_needed) {
  ReadingAccuracy<Difference> accuracy;
  const auto found = is_needed ? table.need_table(key) : table.table(key).value_or(TomlTable());
  if (!is_needed && !table.has(key)) return accuracy;
  accuracy.relative = found.need_number("rel");
  accuracy.absolute = Difference(found.need_number("abs"));
  accuracy.resolution = Difference(found.need_number("resolution"));
  const bool is_positive = accuracy.relative >= 0.0 && accuracy.absolute >= Difference(0.0) &&
                           accuracy.resolution >= Difference(0.0);
  if (!is_positive) found.error({}, "accuracy can't be negative", {});
  return accuracy;
}

void take_reach(Profile& profile) {
  const bool is_load = profile.role == Role::load;
  if (const auto* amps = profile.setting(is_load ? Capability::set_amps : Capability::limit_amps)) {
    profile.amps_min = Ampere(amps->min);
    profile.amps_max = Ampere(amps->max);
  }
  if (const Setting* volts = profile.setting(Capability::set_volts)) {
    profile.volts_min = Volt(volts->min);
    profile.volts_max = Volt(volts->max);
  }
}

void check_role(const TomlTable& root, const Profile& profile) {
  const auto need = [&](Capability capability, const char* key) {
    if (profile.has(capability)) return;
    const std::string table = std::string("[can.").append(key).append("]");
    root.error({}, std::string("a ").append(word(profile.role)).append(" must have ").append(table),
               std::string("add ").append(table));
  };
  const auto need_reading = [&](ReadingOf measurand, const char* key) {
    if (profile.measures(measurand)) return;
    root.error("sample", std::string("a sample must give ").append(key), "add it to ask and reply");
  };
  if (profile.role == Role::thermometer) {
    need_reading(ReadingOf::temperature, "read_temperature");
    if (root.has("can")) root.error("can", "a thermometer only reads", "remove it");
    return;
  }
  if (profile.role == Role::load) {
    need(Capability::set_amps, "set_amps");
    need(Capability::enable, "input");
  } else {
    need(Capability::set_volts, "set_volts");
    need(Capability::limit_amps, "limit_amps");
    need(Capability::enable, "output");
  }
  need_reading(ReadingOf::volts, "read_volts");
  need_reading(ReadingOf::amps, "read_amps");
}

void check_times(const TomlTable& root, const Profile& profile) {
  if (profile.link.timeout <= profile.stale / 3.0) return;
  root.need_table("link").error("timeout_ms", "must be at most a third of watchdog.stale_ms",
                                "so that a lost answer can be asked for again in time");
}

tl::expected<Profile, std::vector<Error>> read_document(TomlDocument document, std::string file) {
  const TomlTable& root = document.root();
  Profile profile;
  profile.file = std::move(file);
  profile.role = read_role(root);
  profile.name = root.need_string("name");
  const std::string dialect = root.need_string("dialect");
  if (!dialect.empty() && dialect != "scpi") {
    // One clear error instead of one for every key of the other dialect.
    root.error("dialect", std::string("this version does not speak ").append(dialect),
               "use dialect = \"scpi\"");
    return tl::unexpected(document.errors());
  }
  profile.identity = read_identity(root.need_table("identity"));
  profile.link = read_link(root.need_table("link"));
  if (const auto errors = root.table("errors")) profile.errors = read_errors(*errors);
  const bool is_thermometer = profile.role == Role::thermometer;
  if (!is_thermometer || root.has("safe")) profile.safe = read_safe(root.need_table("safe"));
  read_watchdog(root.need_table("watchdog"), profile);
  if (const auto can = root.table("can")) read_capabilities(*can, profile);
  read_sample(root.need_table("sample"), profile);
  const TomlTable accuracy = root.need_table("accuracy");
  profile.volts_accuracy = read_accuracy<Volt>(accuracy, "read_volts", !is_thermometer);
  profile.amps_accuracy = read_accuracy<Ampere>(accuracy, "read_amps", !is_thermometer);
  profile.temperature_accuracy = read_accuracy<Kelvin>(accuracy, "read_temperature", is_thermometer);
  take_reach(profile);
  document.finish();
  if (document.errors().empty()) {
    check_role(root, profile);
    check_times(root, profile);
  }
  if (!document.errors().empty()) return tl::unexpected(document.errors());
  return profile;
}

}  // namespace

tl::expected<Profile, std::vector<Error>> load_profile(const std::string& path) {
  return read_document(TomlDocument::load(path), path);
}

tl::expected<Profile, std::vector<Error>> parse_profile(std::string_view text, std::string file_name) {
  TomlDocument document = TomlDocument::parse(text, file_name);
  return read_document(std::move(document), std::move(file_name));
}

}  // namespace leadwright
