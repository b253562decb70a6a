// SPDX-License-Identifier: Apache-2.0
// Bytes of a TCP stream, heard as the answer to a request: frames of other transactions are skipped whole,
// right answers are taken wherever they are cut, nothing else is. Input: transaction, unit, request, form,
// then the bytes.
#include "tests/fuzz/modbus_input.h"

namespace leadwright {
namespace {

constexpr std::size_t came_max = 600;
constexpr std::size_t mbap_size = 7;

enum class Form { raw, framed, right, wrong_header };

struct Asked {
  std::uint16_t transaction;
  std::uint8_t unit;
  std::string request;
};

std::string framed(unsigned transaction, unsigned unit, std::string_view pdu) {
  std::string wire;
  append_mbap(wire, static_cast<std::uint16_t>(transaction), static_cast<std::uint8_t>(unit), pdu);
  promise(wire.size() == pdu.size() + mbap_size, "a frame is seven bytes longer than its message");
  return wire;
}

/// Up to three late answers of other transactions, and how many bytes they are.
std::string late_answers(const Asked& asked, Taken& input) {
  std::string wire;
  for (unsigned count = input.byte() % 4; count > 0; --count) {
    const unsigned apart = 1 + input.word() % 65535;
    const unsigned unit = input.byte();
    const std::string pdu(1 + input.byte() % modbus_pdu_max, static_cast<char>(input.byte()));
    wire += framed(asked.transaction + apart, unit, pdu);
  }
  return wire;
}

ModbusHeard hear(std::string_view view, const Asked& asked) {
  std::size_t foreign = view.size() + 1;
  const ModbusHeard heard = hear_mbap(view, asked.transaction, asked.unit, asked.request, foreign);
  promise(foreign <= view.size(), "foreign frames are part of what came");
  std::size_t again = 1;
  const ModbusHeard rest =
      hear_mbap(view.substr(foreign), asked.transaction, asked.unit, asked.request, again);
  promise(again == 0, "no foreign frame is left at the front");
  promise(rest.kind == heard.kind && rest.pdu == heard.pdu, "foreign frames do not change the verdict");
  return heard;
}

void check(Taken& input) {
  Asked asked{static_cast<std::uint16_t>(input.word()), static_cast<std::uint8_t>(input.byte()), {}};
  asked.request = request_of(input);
  if (asked.request.empty()) return;
  const auto form = static_cast<Form>(input.byte() % 4);
  const unsigned place = input.word();
  const std::string late = late_answers(asked, input);
  const std::string_view bytes = input.rest().substr(0, came_max);

  std::string came(bytes);
  if (form == Form::framed) {
    came = framed(asked.transaction, asked.unit, bytes.substr(0, modbus_pdu_max));
  }
  if (form == Form::right || form == Form::wrong_header) {
    came = framed(asked.transaction, asked.unit, right_answer(asked.request, input));
  }
  if (form == Form::wrong_header) flip(came, place, mbap_size + 1);
  came.insert(0, late);

  const auto hear_view = [&](std::string_view view) { return hear(view, asked); };
  const bool accepted = hear_growing(came, asked.request, hear_view);
  promise(accepted || form != Form::right, "a right answer is taken");
  // A bit of the function may make it an exception, whose length then differs.
  promise(!accepted || form != Form::wrong_header, "a wrong bit in the header is found");
  std::size_t foreign = 0;
  static_cast<void>(hear_mbap(came, asked.transaction, asked.unit, asked.request, foreign));
  promise(foreign >= late.size(), "late answers are skipped");
}

}  // namespace
}  // namespace leadwright

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  return leadwright::check_input(data, size, leadwright::check);
}
