// SPDX-License-Identifier: Apache-2.0
#include "drivers/instrument_answers.h"

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

Result<void> check_readback(const Setting& setting, double value, std::string_view answer) {
  std::array<std::string_view, fields_max> fields;
  const Readback& verify = setting.verify;
  if (split_scpi_answer(answer, fields) != verify.reply.size()) return wrong_count(verify.ask, answer);
  for (std::size_t i = 0; i < verify.reply.size(); ++i) {
    const ExpectedField& expected = verify.reply[i];
    if (expected.kind == ExpectedField::Kind::word && !same_scpi_answer(expected.word, fields[i])) {
      return differs(verify.ask, fields[i], expected.word);
    }
    if (expected.kind != ExpectedField::Kind::value) continue;
    const auto number = read_scpi_number(fields[i]);
    const double tolerance = std::max(verify.absolute, verify.relative * std::abs(value));
    if (number && !number->missing && std::abs(number->value - value) <= tolerance) continue;
    std::array<char, 48> room;
    return differs(verify.ask, fields[i], write_scpi_number(value, setting.decimals, room));
  }
  return {};
}

Result<std::string> read_fault_report(const FaultReport& report, std::string_view answer) {
  std::array<std::string_view, fields_max> fields;
  const std::size_t expected = report.bits.empty() ? report.names.size() : 1;
  if (split_scpi_answer(answer, fields) != expected) return wrong_count(report.ask, answer);
  std::string tripped;
  const auto add = [&tripped](const std::string& name) {
    if (!tripped.empty()) tripped.append(", ");
    tripped.append(name);
  };
  for (std::size_t i = 0; i < expected; ++i) {
    const auto number = read_scpi_number(fields[i]);
    if (!number || number->missing || number->value < 0.0 || number->value > 4294967295.0) {
      return fail(Errc::garbled, std::string(report.ask).append(" answers ").append(answer));
    }
    const auto flags = static_cast<std::uint32_t>(number->value);
    if (report.bits.empty()) {
      if (flags != 0) add(report.names[i]);
      continue;
    }
    for (const auto& [bit, name] : report.bits) {
      if ((flags >> static_cast<unsigned>(bit) & 1U) != 0) add(name);
    }
  }
  return tripped;
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
