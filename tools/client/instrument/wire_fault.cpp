// SPDX-License-Identifier: Apache-2.0
#include "tools/client/instrument/wire_fault.h"

#include <algorithm>

#include "tools/client/instrument/profile_text.h"

namespace leadwright {

namespace {

constexpr std::size_t bytes_shown_max = 48;
constexpr std::size_t modbus_question_size = 8;  // RTU: unit, function, address, count, check

bool is_plain_text(std::string_view bytes) {
  return std::ranges::all_of(
      bytes, [](char c) { return (c >= ' ' && c <= '~') || c == '\r' || c == '\n' || c == '\t' || c == 0; });
}

std::string outward(const std::vector<WirePiece>& pieces) {
  std::string text;
  for (const WirePiece& piece : pieces) {
    if (piece.outward) text += piece.bytes;
  }
  return text;
}

std::string inward(const std::vector<WirePiece>& pieces) {
  std::string text;
  for (const WirePiece& piece : pieces) {
    if (!piece.outward) text += piece.bytes;
  }
  return text;
}

/// Our own words, and nothing else: what came is a part of what went.
bool is_loop(const std::string& out, std::string_view in, DialectKind dialect) {
  // A Modbus unit answers some writes with the same bytes: only a question that comes back is our own.
  const std::string_view end = in.substr(in.size() - std::min(in.size(), modbus_question_size));
  if (dialect == DialectKind::modbus && !out.ends_with(end)) return false;
  while (!in.empty() && (in.front() == '\n' || in.front() == '\r')) in.remove_prefix(1);
  return in.size() >= 4 && out.find(in.substr(0, std::min(in.size(), std::size_t{64}))) != std::string::npos;
}

Error silence(const LinkAddress& address, const std::string& settings, DialectKind dialect) {
  const bool is_modbus = dialect == DialectKind::modbus;
  if (address.kind == LinkAddress::Kind::tcp) {
    return {Errc::timed_out, "the port is open, but nothing answers", address.text(),
            is_modbus
                ? "is the unit's address right (--unit)? does another program or computer hold the port?"
                : "is this the instrument's port for SCPI (often 5025)? does another program or computer "
                  "hold it?"};
  }
  if (address.kind == LinkAddress::Kind::serial) {
    return {
        Errc::timed_out, "nothing answers at " + settings, address.text(),
        std::string("is it switched on, and is this its cable? are TX and RX crossed (RS-232), or A and B "
                    "swapped (RS-485)? other speeds: --baud 9600 19200 38400 57600 115200; parity: "
                    "--parity even; ")
            .append(is_modbus ? "is the unit's address right (--unit)?" : "a Modbus unit: --unit")};
  }
  return {Errc::timed_out, "nothing answers", address.text(), "is it switched on, and is this its cable?"};
}

}  // namespace

std::string line_settings(const LinkAddress& address, const SerialSettings& serial) {
  return address.kind == LinkAddress::Kind::serial ? settings_of(serial) : std::string();
}

Error wire_fault(const Error& cause, const std::vector<WirePiece>& pieces, const LinkAddress& address,
                 const SerialSettings& serial, DialectKind dialect) {
  if (pieces.empty()) return cause;
  const std::string in = inward(pieces);
  const std::string shown = shown_bytes(std::string_view(in).substr(0, bytes_shown_max));
  if (is_loop(outward(pieces), in, dialect)) {
    return {
        Errc::garbled, "our own words come back (" + shown + ")", address.text(),
        "TX and RX are joined, or the adapter hears itself: look at the cable and the adapter's switches; "
        "for Modbus on two wires set echo = true in the profile's [link]"};
  }
  if (cause.code == Errc::link_lost && in.empty() && address.kind == LinkAddress::Kind::tcp) {
    return {Errc::link_lost, "it takes the connection and ends it again", address.text(),
            "is this its port for SCPI? does another computer hold it, where it serves one?"};
  }
  if (cause.code != Errc::timed_out && cause.code != Errc::garbled) return cause;
  const std::string settings = line_settings(address, serial);
  if (in.empty()) return silence(address, settings, dialect);
  if (dialect == DialectKind::modbus) {
    return {Errc::garbled, "what comes is no answer to the question (" + shown + ")", address.text(),
            "do speed, parity and the unit's address match? do two units have one address?"};
  }
  if (!is_plain_text(in)) {
    Error fault{Errc::garbled, "what comes is no text (" + shown + ")", address.text(), {}};
    if (address.kind == LinkAddress::Kind::serial) {
      fault.what.append(" at ").append(settings);
      fault.mend = "speed or parity differ: try --baud 9600 19200 38400 57600 115200, or --parity even";
    } else {
      fault.mend = "this port speaks another protocol: is it the one for SCPI?";
    }
    return fault;
  }
  if (cause.code == Errc::garbled) return cause;
  return {Errc::garbled, "something else answers there (" + shown + ")", address.text(),
          "is this the right cable, and the right profile for what hangs on it?"};
}

Error wire_faults(const std::vector<std::pair<std::string, Error>>& tries, const LinkAddress& address) {
  if (tries.size() == 1) return tries.front().second;
  Error all{Errc::timed_out, {}, address.text(), {}};
  bool is_silent = true;
  for (const auto& [settings, error] : tries) {
    if (!all.what.empty()) all.what += "; ";
    const bool came_nothing = error.code == Errc::timed_out;
    all.what.append(settings).append(": ").append(came_nothing ? "nothing answers" : error.what);
    if (!came_nothing && is_silent) {
      all.code = error.code;
      all.mend = error.mend;
    }
    is_silent = is_silent && came_nothing;
  }
  if (is_silent) {
    all.mend =
        "is it switched on, and is this its cable? are TX and RX crossed (RS-232), or A and B swapped "
        "(RS-485)? "
        "try --parity even, and --unit for Modbus";
  }
  return all;
}

}  // namespace leadwright
