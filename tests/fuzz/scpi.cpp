// SPDX-License-Identifier: Apache-2.0
// SCPI text as an instrument answers it: what is read keeps to the header's promises and can be written
// again.
#include "protocol/scpi.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "tests/fuzz/target.h"

namespace leadwright {
namespace {

void check_number(std::string_view text) {
  const auto number = read_scpi_number(text);
  const auto boolean = read_scpi_boolean(text);
  if (!number) return;
  promise(boolean.has_value() != number->missing, "a boolean is a number that is not missing");
  if (number->missing) return;
  promise(std::abs(number->value) < 9.9e37, "9.9E37 and beyond is missing");
  promise(*boolean == (std::abs(number->value) >= 0.5), "a boolean is false if it rounds to zero");
  std::array<char, 48> room{};
  const std::string_view written = write_scpi_number(number->value, 3, room);
  promise(written.empty() == !(std::abs(number->value) < 1e30), "numbers below 1e30 can be written");
  if (written.empty()) return;
  const auto back = read_scpi_number(written);
  promise(back && !back->missing, "what is written can be read");
  const double rounding = 0.000501 + std::abs(number->value) * 1e-15;
  promise(std::abs(back->value - number->value) <= rounding, "writing rounds to the last digit");
  promise(std::signbit(back->value) <= (back->value != 0.0), "minus zero is never written");
}

void check_split(std::string_view text) {
  std::array<std::string_view, 8> fields;
  const std::size_t count = split_scpi_answer(text, fields);
  promise(count >= 1, "an answer has a field");
  promise(count == split_scpi_answer(text, {}), "the count does not depend on the room");
  for (std::size_t i = 0; i < std::min(count, fields.size()); ++i) {
    promise(trim_scpi(fields[i]) == fields[i], "fields are trimmed");
    promise(
        fields[i].data() >= text.data() && fields[i].data() + fields[i].size() <= text.data() + text.size(),
        "fields are parts of the answer");
    if (fields[i].find_first_of("\"'") != std::string_view::npos) continue;
    promise(fields[i].find_first_of(";,") == std::string_view::npos, "bare fields hold no separator");
  }
}

void check_string(std::string_view text) {
  std::string quoted(1, '"');
  for (const char c : text) quoted.append(c == '"' ? 2 : 1, c);
  quoted += '"';
  promise(read_scpi_string(quoted) == std::string(text), "a quoted text reads back");
  std::array<std::string_view, 1> field;
  promise(split_scpi_answer(quoted, field) == 1, "no separator counts inside quotes");
  const auto fault = read_scpi_fault("-113," + quoted);
  promise(fault && fault->number == -113 && fault->text == text, "an error answer reads back");
}

void check_fault_and_identity(std::string_view text) {
  if (const auto fault = read_scpi_fault(text)) {
    promise(fault->number >= -1'000'000 && fault->number <= 1'000'000, "an error's number is bounded");
  }
  const auto identity = read_scpi_identity(text);
  promise(identity.has_value() == (std::count(text.begin(), text.end(), ',') == 3), "four fields identify");
  if (!identity) return;
  std::string joined(identity->maker);
  for (const auto field : {identity->model, identity->serial, identity->firmware}) {
    joined.append(1, ',').append(field);
  }
  const auto again = read_scpi_identity(joined);
  promise(again && again->maker == identity->maker && again->model == identity->model &&
              again->serial == identity->serial && again->firmware == identity->firmware,
          "an identity reads back");
}

void check_whole_block(const ScpiBlock& block, std::string_view text) {
  promise(block.size >= 2 && block.size <= text.size(), "a whole block is part of what came");
  promise(block.bytes.data() >= text.data() &&
              block.bytes.data() + block.bytes.size() == text.data() + block.size,
          "a block ends with its data");
}

/// Any bytes, as they grow: a verdict is never taken back, and comes when its size says so.
void check_block(std::string_view text) {
  using Kind = ScpiBlock::Kind;
  ScpiBlock before;
  for (std::size_t length = 0; length <= std::min<std::size_t>(text.size(), 64); ++length) {
    const std::string_view came = text.substr(0, length);
    const ScpiBlock block = read_scpi_block(came);
    const ScpiBlock ended = read_scpi_block(came, true);
    promise(ended.kind != Kind::incomplete, "what has ended is not incomplete");
    if (block.kind == Kind::complete) check_whole_block(block, came);
    if (ended.kind == Kind::complete) check_whole_block(ended, came);
    promise(block.kind == Kind::incomplete || ended.kind == block.kind, "the end decides the undecided only");
    promise(block.kind != Kind::incomplete || block.size == 0 || block.size > length,
            "what is missing is named");
    promise(before.kind == Kind::incomplete || block.kind == before.kind, "a verdict on a block stays");
    promise(before.size == 0 || block.size == before.size, "the size of a block stays");
    if (before.size > length) promise(block.kind == Kind::incomplete, "a block waits for all of its data");
    before = block;
  }
}

void check_block_round_trip(std::string_view data) {
  const std::string count = std::to_string(data.size());
  std::string definite("#");
  definite.append(std::to_string(count.size())).append(count).append(data);
  const std::size_t size = definite.size();
  promise(read_scpi_block(std::string_view(definite).substr(0, size - 1)).kind == ScpiBlock::Kind::incomplete,
          "a block waits for its last byte");
  definite += "\r\n";
  for (const bool ended : {false, true}) {
    const ScpiBlock block = read_scpi_block(definite, ended);
    promise(block.kind == ScpiBlock::Kind::complete && block.bytes == data && block.size == size,
            "a definite block reads back");
  }
  const std::string indefinite = std::string("#0").append(data).append("\n");
  promise(read_scpi_block(indefinite).kind == ScpiBlock::Kind::incomplete,
          "a stream ends no indefinite block");
  const ScpiBlock block = read_scpi_block(indefinite, true);
  promise(block.kind == ScpiBlock::Kind::complete && block.bytes == data, "an indefinite block reads back");
}

}  // namespace
}  // namespace leadwright

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text = leadwright::text_of(data, size);
  leadwright::check_number(text);
  leadwright::check_split(text);
  leadwright::check_string(text);
  leadwright::check_fault_and_identity(text);
  leadwright::check_block(text);
  leadwright::check_block_round_trip(text);
  return 0;
}
