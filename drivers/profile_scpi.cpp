// SPDX-License-Identifier: Apache-2.0
// What a profile says in SCPI text: templates, questions, expected fields.
#include <array>
#include <charconv>

#include "drivers/profile.h"
#include "drivers/profile_tables.h"

namespace leadwright {

namespace {

void refuse_line_ends(const TomlTable& table, std::string_view key, std::string_view text) {
  if (text.find_first_of("\r\n") == std::string_view::npos) return;
  table.error(key, "a message must not contain a line end", "it is added when the message is sent");
}

/// A message of the instrument's language; empty if absent.
std::string message(const TomlTable& table, std::string_view key) {
  std::string text = table.string(key).value_or("");
  refuse_line_ends(table, key, text);
  return text;
}

std::string need_message(const TomlTable& table, std::string_view key) {
  std::string text = table.need_string(key);
  if (text.empty() && table.has(key)) table.error(key, "must not be empty", {});
  refuse_line_ends(table, key, text);
  return text;
}

/// As need_message, and it must hold `placeholder` exactly once.
std::string need_template(const TomlTable& table, std::string_view key, std::string_view placeholder,
                          std::string_view example) {
  std::string text = need_message(table, key);
  const std::size_t at = text.find(placeholder);
  if (at == std::string::npos || text.find(placeholder, at + 1) != std::string::npos) {
    table.error(key,
                std::string("the command needs the placeholder ").append(placeholder).append(" exactly once"),
                std::string("write \"").append(example).append("\""));
    return {};
  }
  return text;
}

std::string filled(std::string text, std::string_view placeholder, std::string_view with) {
  const std::size_t at = text.find(placeholder);
  return at == std::string::npos ? text : text.replace(at, placeholder.size(), with);
}

int read_decimals(const TomlTable& table) {
  const std::string format = table.string("format").value_or("fixed:3");
  constexpr std::string_view prefix = "fixed:";
  int decimals = -1;
  if (format.starts_with(prefix)) {
    const char* end = format.data() + format.size();
    const auto [read_to, error] = std::from_chars(format.data() + prefix.size(), end, decimals);
    if (error != std::errc() || read_to != end) decimals = -1;
  }
  if (decimals >= 0 && decimals <= 6) return decimals;
  table.error("format", "unknown format", "write \"fixed:3\" for three decimals");
  return 3;
}

Readback read_readback(const TomlTable& table) {
  Readback readback;
  readback.ask = need_message(table, "ask");
  readback.absolute = table.need_number("abs");
  readback.relative = table.number("rel").value_or(0.0);
  for (const std::string& field : table.strings("reply")) {
    if (field == "value") {
      readback.reply.push_back({ExpectedField::Kind::value, {}});
    } else if (field == "any") {
      readback.reply.push_back({ExpectedField::Kind::any, {}});
    } else if (field.size() > 1 && field.front() == '=') {
      readback.reply.push_back({ExpectedField::Kind::word, field.substr(1)});
    } else {
      table.error("reply", std::string("unknown field: ").append(field),
                  "write \"value\", \"any\" or \"=WORD\"");
    }
  }
  if (readback.reply.empty()) readback.reply.push_back({ExpectedField::Kind::value, {}});
  return readback;
}

Setting read_setting(const TomlTable& table, const SettingKey& key) {
  constexpr std::string_view placeholder = "{x}";
  Setting setting;
  setting.capability = key.capability;
  const std::string text = need_template(table, "set", placeholder, "CURR {x}");
  if (!text.empty()) {
    setting.head = text.substr(0, text.find(placeholder));
    setting.tail = text.substr(text.find(placeholder) + placeholder.size());
  }
  setting.decimals = read_decimals(table);
  setting.verify = read_readback(table.need_table("verify"));
  read_setting_limits(table, key.is_volts, setting);
  return setting;
}

std::vector<std::pair<std::string, bool>> read_meaning(const TomlTable& verify) {
  std::vector<std::pair<std::string, bool>> meaning;
  const TomlTable values = verify.need_table("values");
  bool has_on = false;
  bool has_off = false;
  for (const std::string& answer : values.keys()) {
    const bool is_on = values.boolean(answer).value_or(false);
    meaning.emplace_back(answer, is_on);
    (is_on ? has_on : has_off) = true;
  }
  if (!has_on || !has_off) {
    verify.error("values", "must say what on and off look like", "write { \"1\" = true, \"0\" = false }");
  }
  return meaning;
}

Switch read_switch(const TomlTable& table) {
  Switch result;
  const std::string text = need_template(table, "set", "{on}", "OUTP {on}");
  const TomlTable words = table.need_table("on_words");
  result.on = filled(text, "{on}", need_message(words, "true"));
  result.off = filled(text, "{on}", need_message(words, "false"));
  const TomlTable verify = table.need_table("verify");
  result.ask = need_message(verify, "ask");
  result.meaning = read_meaning(verify);
  result.settle = milliseconds(table, "settle_ms", 0.0);
  return result;
}

FaultReport read_faults(const TomlTable& table) {
  FaultReport report;
  report.ask = need_message(table, "ask");
  report.names = table.strings("names");
  const auto bits = table.table("bits");
  for (const std::string& key : bits ? bits->keys() : std::vector<std::string>()) {
    int bit = -1;
    const auto [read_to, error] = std::from_chars(key.data(), key.data() + key.size(), bit);
    if (error != std::errc() || read_to != key.data() + key.size() || bit < 0 || bit > 31) {
      bits->error(key, "not the number of a bit", "write 0 to 31");
    }
    report.bits.emplace_back(bit, bits->need_string(key));
  }
  if (report.bits.empty() == report.names.empty()) {
    table.error({}, "needs either `bits` or `names`", "add names = [\"over-voltage trip\"]");
  }
  return report;
}

IdentityRule read_identity(const TomlTable& table) {
  IdentityRule rule;
  rule.ask = need_message(table, "ask");
  rule.match = Pattern(table.need_string("match"));
  if (!rule.match.is_valid()) {
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

ErrorQueue read_errors(const TomlTable& table) {
  ErrorQueue errors;
  errors.ask = message(table, "ask");
  errors.ok = static_cast<int>(table.integer("ok").value_or(0));
  if (const auto cycle = table.table("power_cycle")) {
    errors.power_cycle_ask = need_message(*cycle, "ask");
    errors.power_cycle_bit = static_cast<int>(cycle->need_integer("bit"));
    if (errors.power_cycle_bit < 0 || errors.power_cycle_bit > 15) {
      cycle->error("bit", "not the number of a bit", "write 0 to 15");
    }
  }
  errors.fence = message(table, "fence");
  if (!errors.fence.empty() && errors.fence.find("{n}") == std::string::npos) {
    table.error("fence", "a fence needs the placeholder {n}", "write \"*ESE {n};*ESE?\"");
  }
  errors.tag = table.boolean("tag").value_or(false);
  return errors;
}

SafeState::Check read_check(const TomlTable& table) {
  return {need_message(table, "ask"), table.need_string("equals"), std::nullopt, 1};
}

SafeState read_safe(const TomlTable& table) {
  SafeState safe;
  safe.commands = table.strings("do");
  for (const std::string& command : safe.commands) {
    refuse_line_ends(table, "do", command);
    if (command.empty()) table.error("do", "must not be empty", {});
  }
  for (const TomlTable& check : table.tables("verify")) safe.checks.push_back(read_check(check));
  if (safe.commands.empty()) table.error("do", "nothing switches it off", "add do = [\"...\"]");
  if (safe.checks.empty()) table.error("verify", "off can't be verified", "add verify = [{ ask, equals }]");
  safe.proof = read_proof(table);
  return safe;
}

std::optional<Heartbeat> read_heartbeat(const TomlTable& watchdog) {
  const auto kind = watchdog_kind(watchdog, "command");
  if (!kind) return std::nullopt;
  Heartbeat heartbeat;
  heartbeat.limit = milliseconds(watchdog, "limit_ms", 0.0);
  if (*kind == "command") {
    heartbeat.arm = message(watchdog, "arm");
    if (const auto armed = watchdog.table("armed")) heartbeat.armed = read_check(*armed);
    heartbeat.feed = message(watchdog, "feed");
    heartbeat.every = milliseconds(watchdog, "every_ms", 0.0);
  }
  return heartbeat;
}

void read_sample_fields(const TomlTable& table, Profile& profile) {
  profile.sample_ask = need_message(table, "ask");
  for (const std::string& name : table.strings("reply")) {
    const auto measurand = measurand_named(name);
    if (measurand) {
      profile.sample_fields.push_back({*measurand, std::nullopt});
    } else {
      table.error("reply", std::string("unknown reading: ").append(name),
                  "write \"read_volts\", \"read_amps\" or \"read_temperature\"");
    }
  }
  if (profile.sample_fields.size() > sample_fields_max) table.error("reply", "too many fields", {});
}

OutputBank read_outputs(const TomlTable& table) {
  OutputBank bank;
  bank.count = read_count(table, "count");
  bank.first = static_cast<int>(table.integer("first").value_or(1));
  const std::string text = need_template(table, "set", "{n}", "ROUT:{on} (@{n})");
  const TomlTable words = table.need_table("on_words");
  bank.on = filled(text, "{on}", need_message(words, "true"));
  bank.off = filled(text, "{on}", need_message(words, "false"));
  if (bank.on == bank.off) {
    table.error("set", "on and off are the same command", "use the placeholder {on} and on_words");
  }
  const TomlTable verify = table.need_table("verify");
  bank.ask = need_template(verify, "ask", "{n}", "ROUT:CLOS? (@{n})");
  bank.meaning = read_meaning(verify);
  bank.settle = milliseconds(table, "settle_ms", 0.0);
  return bank;
}

InputBank read_inputs(const TomlTable& table) {
  InputBank bank;
  bank.count = read_count(table, "count");
  bank.ask = need_message(table, "ask");
  return bank;
}

std::string read_clear_faults(const TomlTable& table) {
  return need_message(table, "set");
}

}  // namespace

const DialectTables scpi_tables{read_identity,      read_errors,  read_safe,   read_heartbeat,
                                read_setting,       read_switch,  read_faults, read_clear_faults,
                                read_sample_fields, read_outputs, read_inputs};

}  // namespace leadwright
