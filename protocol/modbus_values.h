// SPDX-License-Identifier: Apache-2.0
// Numbers in 16-bit registers: types, word orders, missing values. Pure. Modbus itself knows words only; the
// order of a 32-bit value is each maker's own, so a profile must state it (123456.0 = 0x47F12000 is abcd 47F1
// 2000, cdab 2000 47F1, badc F147 0020, dcba 0020 F147).
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string_view>

namespace leadwright {

enum class RegisterType { u16, i16, u32, i32, f32 };
enum class WordOrder { abcd, cdab, badc, dcba };

std::optional<RegisterType> register_type_of(std::string_view word);
std::optional<WordOrder> word_order_of(std::string_view word);

/// Registers that a value of this type takes: 1 or 2.
int register_count(RegisterType type) noexcept;

struct RegisterWords {
  std::array<std::uint16_t, 2> words{};
  int count = 1;
};

/// The number in `words[0]` (and `words[1]`); for 16-bit types the orders badc and dcba swap the bytes.
/// Not-a-number and infinity come back as they are: the profile says that they are missing.
double read_register(RegisterType type, WordOrder order, std::array<std::uint16_t, 2> words) noexcept;
/// Rounded to the nearest, integers halfway away from zero; nothing if the type can't hold it, or if it is no
/// finite number: nobody sets an instrument to that.
std::optional<RegisterWords> write_register(RegisterType type, WordOrder order, double value) noexcept;
/// Half of the step between two neighbouring values at `value`, which is how far off write_register may be:
/// 0.5 for integers. Not-a-number for an f32 that is not finite.
double register_rounding(RegisterType type, double value) noexcept;

}  // namespace leadwright
