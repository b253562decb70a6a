// SPDX-License-Identifier: Apache-2.0
#include <array>
#include <charconv>

#include "drivers/profile.h"
#include "drivers/profile_tables.h"

namespace leadwright {

namespace {

struct SettingKey {
  const char* key;
  Capability capability;
  bool is_volts;
};

constexpr std::array<SettingKey, 6> setting_keys{{
    {"set_amps", Capability::set_amps, false},
    {"set_volts", Capability::set_volts, true},
    {"limit_amps", Capability::limit_amps, false},
    {"cutoff_volts", Capability::cutoff_volts, true},
    {"trip_amps", Capability::trip_amps, false},
    {"trip_volts", Capability::trip_volts, true},
}};

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

Follow read_follow(const TomlTable& table) {
  if (need_measurand(table, "read") != ReadingOf::amps) {
    table.error("read", "only a current can follow", "write \"read_amps\"");
  }
  return {Ampere(table.need_number("abs")), table.number("rel").value_or(0.0),
          milliseconds(table, "within_ms", 500.0)};
}

/// Splits "CURR {x}" at its placeholder.
void read_template(const TomlTable& table, Setting& setting) {
  constexpr std::string_view placeholder = "{x}";
  const std::string text = need_message(table, "set");
  const std::size_t at = text.find(placeholder);
  if (at == std::string::npos || text.find(placeholder, at + 1) != std::string::npos) {
    table.error("set", "the command needs the placeholder {x} exactly once", "write \"CURR {x}\"");
    return;
  }
  setting.head = text.substr(0, at);
  setting.tail = text.substr(at + placeholder.size());
}

Setting read_setting(const TomlTable& table, const SettingKey& key) {
  Setting setting;
  setting.capability = key.capability;
  read_template(table, setting);
  setting.decimals = read_decimals(table);
  const std::string_view range_key = key.is_volts ? "range_v" : "range_a";
  const std::vector<double> range = table.numbers(range_key);
  if (range.size() == 2 && range[0] < range[1]) {
    setting.min = range[0];
    setting.max = range[1];
  } else {
    table.error(range_key, std::string("needs `").append(range_key).append("` with lowest and highest value"),
                std::string("add ").append(range_key).append(" = [0.0, 10.0]"));
  }
  setting.verify = read_readback(table.need_table("verify"));
  setting.settle = milliseconds(table, "settle_ms", 0.0);
  if (const auto follow = table.table("follow")) setting.follow = read_follow(*follow);
  return setting;
}

Switch read_switch(const TomlTable& table) {
  Switch result;
  const std::string text = need_message(table, "set");
  const TomlTable words = table.need_table("on_words");
  const std::string on = need_message(words, "true");
  const std::string off = need_message(words, "false");
  constexpr std::string_view placeholder = "{on}";
  const std::size_t at = text.find(placeholder);
  if (at == std::string::npos) {
    table.error("set", "the command needs the placeholder {on}", "write \"OUTP {on}\"");
  } else {
    result.on = std::string(text).replace(at, placeholder.size(), on);
    result.off = std::string(text).replace(at, placeholder.size(), off);
  }
  const TomlTable verify = table.need_table("verify");
  result.ask = need_message(verify, "ask");
  const TomlTable values = verify.need_table("values");
  bool has_on = false;
  bool has_off = false;
  for (const std::string& answer : values.keys()) {
    const bool is_on = values.boolean(answer).value_or(false);
    result.meaning.emplace_back(answer, is_on);
    (is_on ? has_on : has_off) = true;
  }
  if (!has_on || !has_off) {
    verify.error("values", "must say what on and off look like", "write { \"1\" = true, \"0\" = false }");
  }
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

}  // namespace

void refuse_line_ends(const TomlTable& table, std::string_view key, std::string_view text) {
  if (text.find_first_of("\r\n") == std::string_view::npos) return;
  table.error(key, "a message must not contain a line end", "it is added when the message is sent");
}

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

Second milliseconds(const TomlTable& table, std::string_view key, double fallback_ms) {
  const double value = table.number(key).value_or(fallback_ms);
  if (value < 0.0 || value > 3.6e6) table.error(key, "out of range", "write 0 to 3600000");
  return Second(value / 1000.0);
}

std::optional<ReadingOf> measurand_named(std::string_view name) {
  if (name == "read_volts") return ReadingOf::volts;
  if (name == "read_amps") return ReadingOf::amps;
  if (name == "read_temperature") return ReadingOf::temperature;
  return std::nullopt;
}

ReadingOf need_measurand(const TomlTable& table, std::string_view key) {
  const std::string name = table.need_string(key);
  const auto measurand = measurand_named(name);
  if (!measurand && !name.empty()) table.error(key, "unknown reading", "write \"read_amps\"");
  return measurand.value_or(ReadingOf::amps);
}

void read_capabilities(const TomlTable& can, Profile& profile) {
  for (const SettingKey& key : setting_keys) {
    if (const auto table = can.table(key.key)) profile.settings.push_back(read_setting(*table, key));
  }
  const char* enable_key = profile.role == Role::charger ? "output" : "input";
  if (const auto table = can.table(enable_key)) profile.enable = read_switch(*table);
  if (const auto table = can.table("faults")) profile.faults = read_faults(*table);
  if (const auto table = can.table("clear_faults")) profile.clear_faults = need_message(*table, "set");
}

}  // namespace leadwright
