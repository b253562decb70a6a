// SPDX-License-Identifier: Apache-2.0
// Bytes on a serial line, heard as the answer to a request: right ones are taken wherever they are cut,
// nothing else is. Input: unit, request, echo, form, then the bytes.
#include "tests/fuzz/modbus_input.h"

namespace leadwright {
namespace {

constexpr std::size_t came_max = 600;

enum class Form { raw, checked, right, flipped, echoed };

std::string framed(std::uint8_t unit, std::string_view pdu) {
  std::string wire;
  append_rtu(wire, unit, pdu);
  promise(wire.size() == pdu.size() + 3, "a frame is three bytes longer than its message");
  promise(modbus_crc(wire) == 0, "a frame with its check divides without remainder");
  return wire;
}

void check(Taken& input) {
  const auto unit = static_cast<std::uint8_t>(input.byte());
  const std::string request = request_of(input);
  if (request.empty()) return;
  const bool echo = input.byte() % 2 == 1;
  const auto form = static_cast<Form>(input.byte() % 5);
  const unsigned place = input.word();
  const std::string_view bytes = input.rest().substr(0, came_max);

  std::string came(bytes);
  if (form == Form::checked) came = framed(unit, bytes.substr(0, modbus_pdu_max));
  if (form == Form::right || form == Form::flipped) came = framed(unit, right_answer(request, input));
  if (form == Form::flipped) flip(came, place, came.size());
  if (form == Form::echoed) came = framed(unit, request).append(bytes);
  if (echo && form != Form::raw) came.insert(0, framed(unit, request));

  const auto hear = [&](std::string_view view) { return hear_rtu(view, unit, request, echo); };
  const bool accepted = hear_growing(came, request, hear);
  promise(!accepted || unit != 0, "nobody answers what everybody was told");
  promise(!accepted || form != Form::flipped, "a wrong bit is found");
  promise(accepted || form != Form::right || unit == 0, "a right answer is taken");
  if (accepted) {
    const std::size_t begin = echo ? request.size() + 3 : 0;
    promise(modbus_crc(std::string_view(came).substr(begin)) == 0, "an answer has the right check");
    promise(static_cast<std::uint8_t>(came[begin]) == unit, "an answer is of the unit that was asked");
    promise(!echo || came.starts_with(framed(unit, request)), "the echo comes first");
  }
}

}  // namespace
}  // namespace leadwright

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  return leadwright::check_input(data, size, leadwright::check);
}
