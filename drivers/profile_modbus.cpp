// SPDX-License-Identifier: Apache-2.0
// What a profile says in Modbus registers. Messages are built here once, so that a run only sends bytes.
#include <algorithm>
#include <array>
#include <utility>

#include "drivers/answers.h"
#include "drivers/profile.h"
#include "drivers/profile_registers.h"
#include "drivers/profile_tables.h"

namespace leadwright {

namespace {

/// `{ space, at, count, value }`: coils from `at`, or one register.
std::string read_safe_command(const TomlTable& table) {
  const RegisterField field = read_writable(table);
  const double value = read_value(table, "value");
  const std::int64_t count = table.integer("count").value_or(1);
  if (count == 1) return need_write(table, "value", field, value);
  std::string message;
  if (!field.is_bit() || count < 1 || count > modbus_write_bits_max) {
    table.error("count", "only coils can be written several at once", "leave it out");
    return message;
  }
  std::array<bool, modbus_write_bits_max> bits{};
  bits.fill(value != 0.0);
  const Result<void> written = append_modbus_write_bits(
      message, field.at, std::span<const bool>(bits.data(), static_cast<std::size_t>(count)));
  if (!written) table.error("at", written.error().what, written.error().mend);
  return message;
}

SafeState read_safe(const TomlTable& table) {
  SafeState safe;
  for (const TomlTable& command : table.tables("do")) safe.commands.push_back(read_safe_command(command));
  for (const TomlTable& check : table.tables("verify")) safe.checks.push_back(read_check(check));
  if (safe.commands.empty()) {
    table.error("do", "nothing switches it off", "add do = [{ space = \"coil\", at = 0, value = false }]");
  }
  if (safe.checks.empty()) {
    table.error("verify", "off can't be verified",
                "add verify = [{ space = \"coil\", at = 0, equals = false }]");
  }
  safe.proof = read_proof(table);
  return safe;
}

/// `{ space, at, type, order }` of a number, or `{ space, at, words }` of text.
void read_serial(const TomlTable& table, IdentityRule& rule) {
  constexpr std::int64_t words_max = 32;  // our own number: 64 characters
  const ModbusSpace space = read_space(table);
  if (space == ModbusSpace::coil || space == ModbusSpace::discrete) {
    table.error("space", "a serial number is made of words", "write \"holding\" or \"input\"");
    return;
  }
  if (!table.has("words")) {
    rule.serial = read_field(table);
    rule.serial_ask = read_message(*rule.serial);
  } else {
    const std::int64_t words = table.need_integer("words");
    if (words < 1 || words > words_max) {
      table.error("words", "not a length for a serial number", "1 to 32 registers, two characters each");
      return;
    }
    rule.serial_words = static_cast<int>(words);
    const int at = read_address(table, rule.serial_words);
    const Result<void> built = append_modbus_read(rule.serial_ask, space, at, rule.serial_words);
    if (!built) table.error("words", built.error().what, built.error().mend);
  }
  rule.pin_serial = true;
}

IdentityRule read_identity(const TomlTable& table) {
  IdentityRule rule;
  const std::vector<double> equals = table.numbers("equals");
  for (const double word : equals) {
    if (word < 0.0 || word > modbus_address_max ||
        word != static_cast<double>(static_cast<std::uint16_t>(word))) {
      table.error("equals", "not a 16-bit word", "write 0 to 65535, or 0x1234");
      continue;
    }
    rule.words.push_back(static_cast<std::uint16_t>(word));
  }
  const TomlTable read = table.need_table("read");
  const ModbusSpace space = read_space(read);
  const auto count = static_cast<int>(read.need_integer("count"));
  const int at = read_address(read, count);
  const Result<void> built = append_modbus_read(rule.ask, space, at, count);
  if (!built && read.has("count")) read.error("count", built.error().what, built.error().mend);
  if (space == ModbusSpace::coil || space == ModbusSpace::discrete) {
    read.error("space", "an identity is made of words", "write \"holding\" or \"input\"");
  }
  if (rule.words.empty() || static_cast<int>(rule.words.size()) > count) {
    table.error("equals", "needs the words that tell this unit from others", "add equals = [0x1234]");
  }
  if (const auto simulated = table.table("simulated")) {
    rule.simulated = read_field(*simulated);
    rule.simulated_ask = read_message(*rule.simulated);
  }
  if (const auto serial = table.table("serial")) read_serial(*serial, rule);
  return rule;
}

std::optional<Heartbeat> read_heartbeat(const TomlTable& watchdog) {
  const auto kind = watchdog_kind(watchdog, "register");
  if (!kind) return std::nullopt;
  Heartbeat heartbeat;
  heartbeat.limit = milliseconds(watchdog, "limit_ms", 0.0);
  if (*kind == "poll") return heartbeat;
  if (const auto arm = watchdog.table("arm")) {
    const RegisterField field = read_writable(*arm);
    const double limit_s = arm->need_number("value_s");
    heartbeat.arm = need_write(*arm, "value_s", field, limit_s);
    heartbeat.limit = Second(limit_s);
    if (arm->boolean("verify").value_or(true)) {
      heartbeat.armed = {read_message(field), shortest(limit_s), field, 1};
    }
  }
  if (const auto feed = watchdog.table("feed")) {
    heartbeat.feed = need_write(*feed, "value", read_writable(*feed), read_value(*feed, "value"));
    heartbeat.every = milliseconds(*feed, "every_ms", 500.0);
  }
  return heartbeat;
}

Setting read_setting(const TomlTable& table, const SettingKey& key) {
  Setting setting;
  setting.capability = key.capability;
  const TomlTable write = table.need_table("write");
  setting.field = read_writable(write);
  const TomlTable verify = table.need_table("verify");
  setting.verify.absolute = verify.need_number("abs");
  setting.verify.relative = verify.number("rel").value_or(0.0);
  const auto read = verify.table("read");
  setting.verify.field = read ? read_field(*read) : *setting.field;
  setting.verify.ask = read_message(*setting.verify.field);
  read_setting_limits(table, key.is_volts, setting);
  for (const double end : {setting.min, setting.max}) {
    if (!write_message(*setting.field, end)) {
      write.error("type", "can't hold the whole range", "check type and scale");
    }
  }
  return setting;
}

Switch read_switch(const TomlTable& table) {
  Switch result;
  const TomlTable write = table.need_table("write");
  const RegisterField field = read_writable(write);
  const double on = table.number("on").value_or(1.0);
  const double off = table.number("off").value_or(0.0);
  if (on == off) table.error("on", "must differ from `off`", "write on = 1");
  result.on = need_write(write, "at", field, on);
  result.off = need_write(write, "at", field, off);
  const auto verify = table.table("verify");
  const auto read = verify ? verify->table("read") : std::nullopt;
  result.field = read ? read_field(*read) : field;
  result.ask = read_message(*result.field);
  result.meaning = {{shortest(on), true}, {shortest(off), false}};
  result.settle = milliseconds(table, "settle_ms", 0.0);
  return result;
}

FaultReport read_faults(const TomlTable& table) {
  FaultReport report;
  const TomlTable read = table.need_table("read");
  report.field = read_field(read);
  report.names = table.strings("names");
  if (report.field->is_bit()) {
    const auto count = static_cast<int>(read.need_integer("count"));
    const Result<void> built = append_modbus_read(report.ask, report.field->space, report.field->at, count);
    if (!built && read.has("count")) read.error("count", built.error().what, built.error().mend);
    if (static_cast<int>(report.names.size()) != count) {
      table.error("names", "needs one name for each bit", "name all `count` bits");
    }
    return report;
  }
  report.ask = read_message(*report.field);
  for (std::size_t bit = 0; bit < report.names.size(); ++bit) {
    report.bits.emplace_back(static_cast<int>(bit), report.names[bit]);
  }
  if (report.names.empty() || report.names.size() > 32) {
    table.error("names", "needs the names of the bits, lowest first", "add names = [\"over-voltage\"]");
  }
  report.names.clear();
  return report;
}

SampleField read_sample_field(const TomlTable& table, ReadingOf reading, int words) {
  SampleField sample;
  sample.of = reading;
  RegisterField field;
  read_type(table, field);
  const std::int64_t word_index = table.need_integer("word");
  if (word_index < 0 || word_index + register_count(field.type) > words) {
    table.error("word", "lies outside the words that are read", "raise sample.read.count");
  } else {
    field.at = static_cast<int>(word_index);
  }
  sample.field = field;
  return sample;
}

void refuse_overlap(const TomlTable& fields, const std::vector<SampleField>& all) {
  for (std::size_t i = 0; i < all.size(); ++i) {
    for (std::size_t k = i + 1; k < all.size(); ++k) {
      const RegisterField& a = *all[i].field;
      const RegisterField& b = *all[k].field;
      if (a.at < b.at + register_count(b.type) && b.at < a.at + register_count(a.type)) {
        fields.error(word(all[k].of), std::string("shares words with ").append(word(all[i].of)),
                     "see the register map of the unit");
      }
    }
  }
}

void read_sample(const TomlTable& table, Profile& profile) {
  const TomlTable read = table.need_table("read");
  const ModbusSpace space = read_space(read);
  const auto count = static_cast<int>(read.need_integer("count"));
  const Result<void> built =
      append_modbus_read(profile.sample_ask, space, read_address(read, std::max(count, 1)), count);
  if (!built && read.has("count")) read.error("count", built.error().what, built.error().mend);
  if (space == ModbusSpace::coil || space == ModbusSpace::discrete) {
    read.error("space", "a sample is made of words", "write \"holding\" or \"input\"");
  }
  const TomlTable fields = table.need_table("fields");
  for (const ReadingOf reading : {ReadingOf::volts, ReadingOf::amps, ReadingOf::temperature}) {
    if (const auto field = fields.table(word(reading))) {
      profile.sample_fields.push_back(read_sample_field(*field, reading, count));
    }
  }
  refuse_overlap(fields, profile.sample_fields);
  const auto plausible = table.table("plausible");
  for (SampleField& field : profile.sample_fields) {
    const std::vector<double> range = plausible ? plausible->numbers(word(field.of)) : std::vector<double>();
    if (range.size() == 2 && range[0] < range[1]) {
      field.plausible_min = range[0];
      field.plausible_max = range[1];
    } else {
      table.error("plausible",
                  std::string("needs what ")
                      .append(word(field.of))
                      .append(" can be: a wrong word order gives absurd "
                              "but finite numbers"),
                  "add plausible = { read_volts = [-1.0, 60.0] }");
    }
  }
}

OutputBank read_outputs(const TomlTable& table) {
  OutputBank bank;
  bank.count = read_count(table, "count");
  const TomlTable write = table.need_table("write");
  bank.field = read_writable(write);
  if (!bank.field->is_bit()) write.error("space", "outputs are coils", "write \"coil\"");
  if (bank.field->at + bank.count - 1 > modbus_address_max)
    table.error("count", "beyond the last address", {});
  bank.meaning = {{"1", true}, {"0", false}};
  bank.settle = milliseconds(table, "settle_ms", 0.0);
  return bank;
}

InputBank read_inputs(const TomlTable& table) {
  InputBank bank;
  bank.count = read_count(table, "count");
  const TomlTable read = table.need_table("read");
  bank.field = read_field(read);
  if (bank.field->is_bit()) {
    const Result<void> built = append_modbus_read(bank.ask, bank.field->space, bank.field->at, bank.count);
    if (!built && bank.count > 0) read.error("at", built.error().what, built.error().mend);
  } else {
    bank.ask = read_message(*bank.field);
  }
  return bank;
}

std::string read_clear_faults(const TomlTable& table) {
  const TomlTable write = table.need_table("write");
  return need_write(write, "at", read_writable(write), read_value(write, "value"));
}

}  // namespace

const DialectTables modbus_tables{read_identity, nullptr,      read_safe,   read_heartbeat,
                                  read_setting,  read_switch,  read_faults, read_clear_faults,
                                  read_sample,   read_outputs, read_inputs};

}  // namespace leadwright
