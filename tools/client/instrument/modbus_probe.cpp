// SPDX-License-Identifier: Apache-2.0
#include "tools/client/instrument/modbus_probe.h"

#include <fmt/format.h>

#include <array>

#include "protocol/modbus.h"
#include "protocol/modbus_frames.h"
#include "tools/client/instrument/line_exchange.h"
#include "tools/client/instrument/wire_log.h"

namespace leadwright {

namespace {

constexpr Second patience{1.0};
constexpr std::uint16_t transaction = 1;

std::string request() {
  std::string pdu;
  // Address 0 with one word lies within every limit.
  static_cast<void>(append_modbus_read(pdu, ModbusSpace::holding, 0, 1));
  return pdu;
}

}  // namespace

std::string ModbusProbe::question() const {
  return describe_modbus(request()) + " of unit " + std::to_string(unit_);
}

Task<Result<WhoAnswered>> ModbusProbe::ask(Link& link, Clock& machine) const {
  // RTU ends by silence what the steps before left.
  Result<void> quiet = co_await await_quiet(link, machine);
  if (!quiet) co_return pass(quiet);
  const auto unit = static_cast<std::uint8_t>(unit_);
  const std::string pdu = request();
  std::string wire;
  if (is_tcp_) {
    append_mbap(wire, transaction, unit, pdu);
  } else {
    append_rtu(wire, unit, pdu);
  }
  const Instant give_up = machine.now() + patience;
  Result<void> sent = co_await link.write(wire, give_up);
  if (!sent) co_return pass(sent);
  std::string came;
  std::array<char, 260> piece{};
  while (true) {
    Result<std::size_t> count = co_await link.read(piece, give_up);
    if (!count && came.empty() && !is_tcp_) {
      // A text instrument that is only slow must not keep our frame at the head of its next message.
      static_cast<void>(co_await tell_line(link, machine, ""));
    }
    if (!count && (came.empty() || count.error().code != Errc::timed_out)) co_return pass(count);
    if (count) came.append(piece.data(), *count);
    std::size_t foreign = 0;
    const ModbusHeard heard =
        is_tcp_ ? hear_mbap(came, transaction, unit, pdu, foreign) : hear_rtu(came, unit, pdu);
    if (count && heard.kind == ModbusHeard::Kind::incomplete) continue;
    if (heard.kind != ModbusHeard::Kind::answer) {
      co_return fail(Errc::garbled, "what comes is no answer of Modbus (" + shown_bytes(came) + ")",
                     link.name(),
                     "is this the right cable, speed and parity, and the unit's own address (--unit)?");
    }
    const Result<void> right = check_modbus_answer(pdu, heard.pdu);
    const std::string said = right ? fmt::format("holding 0 is 0x{:04X}", modbus_word(heard.pdu, 0))
                                   : "it refuses to read holding 0";
    co_return WhoAnswered{"Modbus", "unit " + std::to_string(unit_) + "; " + said};
  }
}

}  // namespace leadwright
