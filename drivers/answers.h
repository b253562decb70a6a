// SPDX-License-Identifier: Apache-2.0
// What goes out for a capability under a profile, and what an instrument's answers mean: SCPI fields or
// Modbus registers behind one face. Pure. Answers are those that a Conversation gave: whole, and to this
// question.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "drivers/profile.h"
#include "protocol/result.h"

namespace leadwright {

/// The numbers of one sample; what the instrument could not measure is missing.
struct SampleValues {
  std::optional<double> volts;
  std::optional<double> amps;
  std::optional<double> degc;
};

/// The message that sets `value`. Fails with bad_input if its register can't hold it.
Result<std::string> set_message(const Setting& setting, double value);
/// garbled if a field is lacking, is no number, or lies outside what the profile calls plausible.
Result<SampleValues> read_sample(const Profile& profile, std::string_view answer);
/// not_verified if `answer` differs from `value` by more than the profile allows; garbled if it has another
/// number of fields.
Result<void> check_readback(const Setting& setting, double value, std::string_view answer);
/// not_verified unless `answer` is what the check wants.
Result<void> check_equals(const SafeState::Check& check, std::string_view answer);
/// Whether the switch is on; garbled if the answer is none that the profile knows.
Result<bool> read_switch(const Switch& enabling, std::string_view answer);
/// The names of what tripped, joined by commas; empty if nothing did.
Result<std::string> read_fault_report(const FaultReport& report, std::string_view answer);
/// Bit n is input n.
Result<std::uint32_t> read_input_bits(const InputBank& inputs, std::string_view answer);

/// An output's messages and question: `{n}` of a template, or the register that belongs to it.
Switch output_switch(const OutputBank& bank, int output);

/// The question whose answer holds `field` alone.
std::string read_message(const RegisterField& field);
/// The message that writes `value` there; fails with bad_input if it can't hold it.
Result<std::string> write_message(const RegisterField& field, double value);
/// The number in the answer to read_message(field), scaled.
double field_value(const RegisterField& field, std::string_view answer);

/// The serial number in the answer to a rule's serial_ask: the number, or the text without blanks and zero
/// bytes at its end. Fails with garbled if it has none: zero, ones in every bit of its registers, no text, or
/// characters that can't be printed.
Result<std::string> serial_number(const IdentityRule& rule, std::string_view answer);

/// A message for people: SCPI text as it is, a PDU in words.
std::string shown_message(std::string_view message);
/// An answer for people: SCPI text as it is, a PDU in hexadecimal.
std::string shown_answer(std::string_view answer);

/// Equal as text, as numbers or as booleans: "0", "+0" and "OFF" are the same answer.
bool same_scpi_answer(std::string_view expected, std::string_view got);
/// Bench seconds per second in "sim-SCALE"; absent for anything else.
std::optional<double> simulated_scale(std::string_view firmware);

}  // namespace leadwright
