// SPDX-License-Identifier: Apache-2.0
#include "drivers/answers.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "protocol/scpi.h"

namespace leadwright {

namespace {

constexpr std::size_t fields_max = 16;

tl::unexpected<Error> wrong_count(std::string_view question, std::string_view answer) {
  return fail(Errc::garbled,
              std::string(question).append(" answers the wrong number of fields: ").append(answer));
}

tl::unexpected<Error> differs(std::string_view question, std::string_view got, std::string_view expected) {
  return fail(Errc::not_verified, std::string(question)
                                      .append(" answers ")
                                      .append(got)
                                      .append(" where ")
                                      .append(expected)
                                      .append(" is expected"));
}

}  // namespace

bool same_scpi_answer(std::string_view expected, std::string_view got) {
  if (expected == got) return true;
  const auto expected_number = read_scpi_number(expected);
  const auto got_number = read_scpi_number(got);
  if (expected_number && got_number) {
    return !expected_number->missing && !got_number->missing && expected_number->value == got_number->value;
  }
  const auto expected_boolean = read_scpi_boolean(expected);
  const auto got_boolean = read_scpi_boolean(got);
  return expected_boolean && got_boolean && *expected_boolean == *got_boolean;
}

namespace {

Result<void> check_number(const Readback& verify, double expected, double got, std::string_view shown) {
  const double tolerance = std::max(verify.absolute, verify.relative * std::abs(expected));
  if (std::abs(got - expected) <= tolerance) return {};
  std::array<char, 48> room;
  return differs(shown_message(verify.ask), shown, write_scpi_number(expected, 3, room));
}

std::string number_text(double value) {
  std::array<char, 48> room;
  return std::string(write_scpi_number(value, 3, room));
}

/// Looks `answer` up among the answers that the profile knows.
Result<bool> meaning_of(const Switch& enabling, std::string_view answer) {
  for (const auto& [text, is_on] : enabling.meaning) {
    if (same_scpi_answer(text, answer)) return is_on;
  }
  return fail(Errc::garbled, shown_message(enabling.ask).append(" answers ").append(answer));
}

Result<std::uint32_t> flags_of(double number, std::string_view question, std::string_view answer) {
  if (number >= 0.0 && number <= 4294967295.0) return static_cast<std::uint32_t>(number);
  return fail(Errc::garbled, shown_message(question).append(" answers ").append(answer));
}

}  // namespace

Result<std::string> set_message(const Setting& setting, double value) {
  if (setting.field) return write_message(*setting.field, value);
  std::array<char, 48> room;
  return std::string(setting.head)
      .append(write_scpi_number(value, setting.decimals, room))
      .append(setting.tail);
}

Result<void> check_readback(const Setting& setting, double value, std::string_view answer) {
  const Readback& verify = setting.verify;
  if (verify.field) {
    const double got = field_value(*verify.field, answer);
    return check_number(verify, value, got, number_text(got));
  }
  std::array<std::string_view, fields_max> fields;
  if (split_scpi_answer(answer, fields) != verify.reply.size()) return wrong_count(verify.ask, answer);
  for (std::size_t i = 0; i < verify.reply.size(); ++i) {
    const ExpectedField& expected = verify.reply[i];
    if (expected.kind == ExpectedField::Kind::word && !same_scpi_answer(expected.word, fields[i])) {
      return differs(verify.ask, fields[i], expected.word);
    }
    if (expected.kind != ExpectedField::Kind::value) continue;
    const auto number = read_scpi_number(fields[i]);
    const double got = number && !number->missing ? number->value : std::nan("");
    Result<void> same = check_number(verify, value, got, fields[i]);
    if (!same) return same;
  }
  return {};
}

Result<void> check_equals(const SafeState::Check& check, std::string_view answer) {
  std::string got(answer);
  if (check.bits > 1) {
    int set = 0;
    for (int i = 0; i < check.bits; ++i) set += modbus_bit(answer, static_cast<std::size_t>(i)) ? 1 : 0;
    got = number_text(set);
  } else if (check.field) {
    got = number_text(field_value(*check.field, answer));
  }
  if (same_scpi_answer(check.equals, got)) return {};
  return differs(shown_message(check.ask), got, check.equals);
}

Result<bool> read_switch(const Switch& enabling, std::string_view answer) {
  if (!enabling.field) return meaning_of(enabling, answer);
  return meaning_of(enabling, number_text(field_value(*enabling.field, answer)));
}

Result<std::string> read_fault_report(const FaultReport& report, std::string_view answer) {
  std::string tripped;
  const auto add = [&tripped](const std::string& name) {
    if (!tripped.empty()) tripped.append(", ");
    tripped.append(name);
  };
  const auto add_bits = [&report, &add](std::uint32_t flags) {
    for (const auto& [bit, name] : report.bits) {
      if ((flags >> static_cast<unsigned>(bit) & 1U) != 0) add(name);
    }
  };
  if (report.field && report.field->is_bit()) {
    for (std::size_t i = 0; i < report.names.size(); ++i) {
      if (modbus_bit(answer, i)) add(report.names[i]);
    }
    return tripped;
  }
  if (report.field) {
    const auto flags = flags_of(field_value(*report.field, answer), report.ask, shown_answer(answer));
    if (!flags) return tl::unexpected<Error>(flags.error());
    add_bits(*flags);
    return tripped;
  }
  std::array<std::string_view, fields_max> fields;
  const std::size_t expected = report.bits.empty() ? report.names.size() : 1;
  if (split_scpi_answer(answer, fields) != expected) return wrong_count(report.ask, answer);
  for (std::size_t i = 0; i < expected; ++i) {
    const auto number = read_scpi_number(fields[i]);
    const auto flags = flags_of(number && !number->missing ? number->value : -1.0, report.ask, answer);
    if (!flags) return tl::unexpected<Error>(flags.error());
    if (!report.bits.empty()) {
      add_bits(*flags);
    } else if (*flags != 0) {
      add(report.names[i]);
    }
  }
  return tripped;
}

Result<std::uint32_t> read_input_bits(const InputBank& inputs, std::string_view answer) {
  if (!inputs.field) {
    const auto number = read_scpi_number(answer);
    return flags_of(number && !number->missing ? number->value : -1.0, inputs.ask, answer);
  }
  if (!inputs.field->is_bit()) {
    return flags_of(field_value(*inputs.field, answer), inputs.ask, shown_answer(answer));
  }
  std::uint32_t bits = 0;
  for (int i = 0; i < inputs.count; ++i) {
    if (modbus_bit(answer, static_cast<std::size_t>(i))) bits |= 1U << static_cast<unsigned>(i);
  }
  return bits;
}

namespace {

Result<void> take_field(const SampleField& field, double value, SampleValues& values) {
  // Not a number, and infinity, are how a float register says overload or nothing connected.
  if (!std::isfinite(value)) return {};
  if (value < field.plausible_min || value > field.plausible_max) {
    return fail(Errc::garbled, std::string("an implausible ")
                                   .append(word(field.of))
                                   .append(": ")
                                   .append(number_text(value))
                                   .append(" (word order or scale of the profile?)"));
  }
  switch (field.of) {
    case ReadingOf::volts:
      values.volts = value;
      break;
    case ReadingOf::amps:
      values.amps = value;
      break;
    case ReadingOf::temperature:
      values.degc = value;
      break;
  }
  return {};
}

double sample_register(const RegisterField& field, std::string_view answer) {
  const auto first = static_cast<std::size_t>(field.at);
  const std::array<std::uint16_t, 2> words{modbus_word(answer, first), modbus_word(answer, first + 1)};
  return read_register(field.type, field.order, words) * field.scale + field.offset;
}

}  // namespace

Result<SampleValues> read_sample(const Profile& profile, std::string_view answer) {
  SampleValues values;
  if (profile.dialect == DialectKind::modbus) {
    for (const SampleField& field : profile.sample_fields) {
      Result<void> taken = take_field(field, sample_register(*field.field, answer), values);
      if (!taken) return pass(taken);
    }
    return values;
  }
  std::array<std::string_view, sample_fields_max> fields;
  const std::size_t expected = profile.sample_fields.size();
  if (split_scpi_answer(answer, fields) != expected) {
    return fail(Errc::garbled, std::string("a sample with the wrong number of fields: ").append(answer));
  }
  for (std::size_t i = 0; i < expected; ++i) {
    const auto number = read_scpi_number(fields[i]);
    if (!number) return fail(Errc::garbled, std::string("not a number in a sample: ").append(fields[i]));
    if (number->missing) continue;
    Result<void> taken = take_field(profile.sample_fields[i], number->value, values);
    if (!taken) return pass(taken);
  }
  return values;
}

std::optional<double> simulated_scale(std::string_view firmware) {
  constexpr std::string_view prefix = "sim-";
  if (!firmware.starts_with(prefix)) return std::nullopt;
  double scale = 0.0;
  const char* end = firmware.data() + firmware.size();
  const auto [read_to, error] = std::from_chars(firmware.data() + prefix.size(), end, scale);
  if (error != std::errc() || read_to != end || !(scale > 0.0)) return std::nullopt;
  return scale;
}

}  // namespace leadwright
