// SPDX-License-Identifier: Apache-2.0
// How a profile names Modbus registers, and the messages that read and write them. Not for anyone outside
// drivers/profile_modbus.cpp.
#pragma once

#include <string>
#include <string_view>

#include "drivers/profile.h"
#include "protocol/toml_reader.h"

namespace leadwright {

constexpr int modbus_address_max = 65535;

ModbusSpace read_space(const TomlTable& table);
/// `type`, `order`, `scale` and `offset`.
void read_type(const TomlTable& table, RegisterField& field);
/// `at`, so that `count` registers from it exist.
int read_address(const TomlTable& table, int count);
/// `{ space, at, type, order, scale, offset }`
RegisterField read_field(const TomlTable& table);
/// As read_field, in a space that can be written.
RegisterField read_writable(const TomlTable& table);
/// The message that writes `value`; an error at `key` if it can't be.
std::string need_write(const TomlTable& table, std::string_view key, const RegisterField& field,
                       double value);
/// A number, or true and false as 1 and 0.
double read_value(const TomlTable& table, std::string_view key);
/// `{ space, at, count, ..., equals }`: bits from `at`, all alike, or one register.
SafeState::Check read_check(const TomlTable& table);
/// As short as it reads back.
std::string shortest(double value);

}  // namespace leadwright
