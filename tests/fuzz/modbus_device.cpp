// SPDX-License-Identifier: Apache-2.0
// Bytes and requests to a simulated Modbus load, over RTU and TCP: the controller's side of the codec
// understands every answer of the device's side, the cuts of a stream do not matter, and the unit serves on
// and can be switched off. Input: form, request, then bytes that came before it.
#include "daemon/clock/virtual_clock.h"
#include "tests/fuzz/modbus_input.h"
#include "tools/benchsim/battery_spec.h"
#include "tools/benchsim/modbus_load.h"
#include "tools/benchsim/modbus_server.h"

namespace leadwright {
namespace {

constexpr std::uint8_t unit = 1;
constexpr std::uint16_t transaction = 7;

/// A load on a sound battery.
struct Post {
  Post() {
    standing.battery = make_battery("cell:sound").value();
    terminals.clamp(&standing, clock.now());
    rtu.add(unit, load);
    tcp.add(unit, load);
  }
  std::string ask(ModbusServer& server, std::string_view bytes) {
    std::string answers;
    server.exchange(bytes, answers);
    return answers;
  }
  std::string ask_in_pieces(ModbusServer& server, std::string_view bytes) {
    std::string answers;
    for (std::size_t length = 1; !bytes.empty(); ++length) {
      const std::string_view piece = bytes.substr(0, length);
      server.exchange(piece, answers);
      bytes.remove_prefix(piece.size());
    }
    return answers;
  }

  VirtualClock clock;
  StandingBattery standing;
  Terminals terminals;
  ModbusLoad load{{"1", false, 1}, {}, terminals, clock};
  ModbusServer rtu{ModbusServer::Framing::rtu, clock, Second(0.0015)};
  ModbusServer tcp{ModbusServer::Framing::tcp, clock, Second(0.0015)};
};

std::string rtu_frame(std::string_view request) {
  std::string frame;
  append_rtu(frame, unit, request);
  return frame;
}

std::string tcp_frame(std::string_view request) {
  std::string frame;
  append_mbap(frame, transaction, unit, request);
  return frame;
}

/// The answer, as the controller's side hears it.
void check_heard(const ModbusHeard& heard, std::string_view request) {
  promise(heard.kind == ModbusHeard::Kind::answer, "a right request has a whole answer");
  const auto checked = check_modbus_answer(request, heard.pdu);
  promise(checked || checked.error().code != Errc::garbled, "an answer is right, or an exception");
}

void check_serves_on(Post& post) {
  std::string off;
  promise(append_modbus_write(off, ModbusSpace::coil, 0, 0).has_value(), "off is a request");
  post.clock.run_for(Second(0.01));
  const std::string answer = post.ask(post.rtu, rtu_frame(off));
  check_heard(hear_rtu(answer, unit, off), off);
  promise(answer == rtu_frame(off), "it is switched off");
  promise(!(post.terminals.load_amps().si() > 0.0), "nothing is drawn once it is off");
}

void check(Taken& input) {
  const unsigned form = input.byte() % 4;
  const std::string request = request_of(input);
  const std::string_view noise = input.rest();
  Post whole;
  Post cut;
  if (form == 0 && !request.empty()) {
    const std::string frame = rtu_frame(request);
    const std::string answer = whole.ask(whole.rtu, frame);
    promise(cut.ask_in_pieces(cut.rtu, frame) == answer, "the cuts of a frame do not matter");
    check_heard(hear_rtu(answer, unit, request), request);
  } else if (form == 1 && !request.empty()) {
    std::size_t foreign = 0;
    const std::string answer = whole.ask(whole.tcp, tcp_frame(request));
    check_heard(hear_mbap(answer, transaction, unit, request, foreign), request);
    promise(foreign == 0, "nothing but the answer comes");
  } else if (form == 2) {
    promise(whole.ask(whole.tcp, noise) == cut.ask_in_pieces(cut.tcp, noise),
            "the cuts of a stream do not matter");
  } else {
    static_cast<void>(whole.ask(whole.rtu, noise));
    static_cast<void>(whole.ask_in_pieces(whole.rtu, noise));
  }
  check_serves_on(whole);
}

}  // namespace
}  // namespace leadwright

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  return leadwright::check_input(data, size, leadwright::check);
}
