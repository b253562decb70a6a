// SPDX-License-Identifier: Apache-2.0
#include "drivers/modbus_dialect.h"

#include "drivers/scpi_dialect.h"
#include "protocol/modbus.h"
#include "protocol/modbus_frames.h"

namespace leadwright {

ModbusDialect::ModbusDialect(const Profile& profile, Framing framing, int unit)
    : profile_(profile), framing_(framing), unit_(static_cast<std::uint8_t>(unit)) {}

void ModbusDialect::frame(std::string_view message, std::string& wire) {
  if (framing_ == Framing::rtu) {
    append_rtu(wire, unit_, message);
    return;
  }
  transaction_ = transaction_ + 1U < off_transaction ? static_cast<std::uint16_t>(transaction_ + 1U) : 1U;
  append_mbap(wire, transaction_, unit_, message);
}

bool ModbusDialect::is_answered(std::string_view) const {
  return true;
}

Heard ModbusDialect::hear(std::string_view message, std::string& came, bool) const {
  ModbusHeard heard;
  if (framing_ == Framing::rtu) {
    heard = hear_rtu(came, unit_, message, profile_.link.echo);
  } else {
    std::size_t foreign = 0;
    heard = hear_mbap(came, transaction_, unit_, message, foreign);
    if (foreign > 0) {
      came.erase(0, foreign);
      heard = hear_mbap(came, transaction_, unit_, message, foreign);
    }
  }
  switch (heard.kind) {
    case ModbusHeard::Kind::incomplete:
      return {};
    case ModbusHeard::Kind::answer:
      return {Heard::Kind::answer, heard.pdu, ""};
    case ModbusHeard::Kind::garbled:
      return {Heard::Kind::garbled, {}, heard.why};
  }
  return {};
}

Result<void> ModbusDialect::check(std::string_view message, std::string_view answer) const {
  return check_modbus_answer(message, answer);
}

std::string ModbusDialect::fence(std::string_view lost) {
  if (framing_ == Framing::tcp || lost.empty()) return {};
  // An answer of RTU names neither its question nor its address: only another length tells them apart.
  const auto right_size = [](std::string_view request) {
    return modbus_answer_size(request, request.substr(0, 1));
  };
  std::vector<std::string_view> reads{profile_.identity.ask, profile_.sample_ask};
  for (const SafeState::Check& check : profile_.safe.checks) reads.push_back(check.ask);
  for (const std::string_view read : reads) {
    if (!read.empty() && right_size(read) != right_size(lost)) return std::string(read);
  }
  return {};
}

Heard ModbusDialect::hear_fence(std::string_view fence, std::string& came, bool ended) const {
  return hear(fence, came, ended);
}

std::string ModbusDialect::off_bytes(std::string_view message) {
  std::string bytes;
  if (framing_ == Framing::rtu) {
    append_rtu(bytes, unit_, message);
  } else {
    append_mbap(bytes, off_transaction, unit_, message);
  }
  return bytes;
}

std::string ModbusDialect::off_bytes(const Profile& profile) {
  std::string bytes;
  for (const std::string& command : profile.safe.commands) {
    bytes.append(off_bytes(command));
    // Two frames of RTU without silence between them are none.
    if (framing_ == Framing::rtu) break;
  }
  return bytes;
}

std::unique_ptr<Dialect> make_dialect(const Profile& profile, LinkAddress::Kind kind, int unit) {
  if (profile.dialect == DialectKind::scpi) {
    return std::make_unique<ScpiDialect>(profile, kind == LinkAddress::Kind::usbtmc);
  }
  const bool is_tcp = kind == LinkAddress::Kind::tcp && !profile.link.is_rtu_over_tcp;
  return std::make_unique<ModbusDialect>(
      profile, is_tcp ? ModbusDialect::Framing::tcp : ModbusDialect::Framing::rtu, unit);
}

}  // namespace leadwright
