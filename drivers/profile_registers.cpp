// SPDX-License-Identifier: Apache-2.0
#include "drivers/profile_registers.h"

#include <array>
#include <charconv>
#include <optional>
#include <utility>

#include "drivers/answers.h"

namespace leadwright {

namespace {

std::optional<ModbusSpace> space_named(std::string_view name) {
  for (const ModbusSpace space :
       {ModbusSpace::coil, ModbusSpace::discrete, ModbusSpace::holding, ModbusSpace::input}) {
    if (name == word(space)) return space;
  }
  return std::nullopt;
}

}  // namespace

ModbusSpace read_space(const TomlTable& table) {
  const std::string name = table.need_string("space");
  const auto space = space_named(name);
  if (!space && !name.empty()) {
    table.error("space", "unknown table of registers",
                "write \"coil\", \"discrete\", \"holding\" or \"input\"");
  }
  return space.value_or(ModbusSpace::holding);
}

void read_type(const TomlTable& table, RegisterField& field) {
  const std::string type = table.string("type").value_or("u16");
  if (const auto known = register_type_of(type)) {
    field.type = *known;
  } else {
    table.error("type", "unknown type", "write \"u16\", \"i16\", \"u32\", \"i32\" or \"f32\"");
  }
  const bool is_wide = register_count(field.type) > 1;
  const std::string order = is_wide ? table.need_string("order") : table.string("order").value_or("abcd");
  if (const auto known = word_order_of(order)) {
    field.order = *known;
  } else if (!order.empty()) {
    table.error("order", "unknown word order", "write \"abcd\", \"cdab\", \"badc\" or \"dcba\"");
  }
  field.scale = table.number("scale").value_or(1.0);
  field.offset = table.number("offset").value_or(0.0);
  if (field.scale == 0.0) table.error("scale", "must not be 0", "write scale = 0.01");
}

int read_address(const TomlTable& table, int count) {
  const std::int64_t at = table.need_integer("at");
  if (at >= 0 && at + count - 1 <= modbus_address_max) return static_cast<int>(at);
  table.error("at", "out of range", "write 0 to 65535, as on the wire: \"40001\" of a manual is holding 0");
  return 0;
}

RegisterField read_field(const TomlTable& table) {
  RegisterField field;
  field.space = read_space(table);
  if (!field.is_bit()) read_type(table, field);
  field.at = read_address(table, field.is_bit() ? 1 : register_count(field.type));
  return field;
}

RegisterField read_writable(const TomlTable& table) {
  RegisterField field = read_field(table);
  if (field.space == ModbusSpace::discrete || field.space == ModbusSpace::input) {
    table.error("space", "can only be read", "write \"coil\" or \"holding\"");
  }
  return field;
}

std::string need_write(const TomlTable& table, std::string_view key, const RegisterField& field,
                       double value) {
  Result<std::string> message = write_message(field, value);
  if (message) return std::move(*message);
  table.error(key, message.error().what, "check type and scale");
  return {};
}

double read_value(const TomlTable& table, std::string_view key) {
  if (table.holds_boolean(key)) return table.boolean(key).value_or(false) ? 1.0 : 0.0;
  return table.need_number(key);
}

std::string shortest(double value) {
  std::array<char, 32> room;
  const auto [end, error] = std::to_chars(room.data(), room.data() + room.size(), value);
  return {room.data(), end};
}

SafeState::Check read_check(const TomlTable& table) {
  SafeState::Check check;
  check.field = read_field(table);
  const double value = read_value(table, "equals");
  const std::int64_t count = table.integer("count").value_or(1);
  if (count != 1 && !check.field->is_bit()) {
    table.error("count", "only bits can be compared several at once", "leave it out");
  }
  check.bits = static_cast<int>(count);
  if (count == 1) {
    check.ask = read_message(*check.field);
  } else {
    const Result<void> built = append_modbus_read(check.ask, check.field->space, check.field->at, check.bits);
    if (!built) table.error("count", built.error().what, built.error().mend);
  }
  check.equals = shortest(check.bits == 1 ? value : value * check.bits);
  return check;
}

}  // namespace leadwright
