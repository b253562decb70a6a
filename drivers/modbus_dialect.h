// SPDX-License-Identifier: Apache-2.0
// Modbus on a line: a PDU with unit and CRC (RTU), or with the header that carries a transaction number
// (TCP).
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "drivers/dialect.h"

namespace leadwright {

class ModbusDialect final : public Dialect {
 public:
  enum class Framing { rtu, tcp };
  ModbusDialect(const Profile& profile, Framing framing, int unit);

  void frame(std::string_view message, std::string& wire) override;
  bool is_answered(std::string_view message) const override;
  Heard hear(std::string_view message, std::string& came, bool ended) const override;
  Result<void> check(std::string_view message, std::string_view answer) const override;
  std::string fence(std::string_view lost) override;
  Heard hear_fence(std::string_view fence, std::string& came, bool ended) const override;
  std::string off_bytes(const Profile& profile) override;
  std::string off_bytes(std::string_view message) override;
  std::string_view opening() const override { return {}; }
  bool is_half_duplex() const override { return framing_ == Framing::rtu; }

 private:
  const Profile& profile_;
  Framing framing_;
  std::uint8_t unit_;
  // An off message may pass a question that waits for its answer: numbers of its own keep them apart.
  static constexpr std::uint16_t off_transaction = 0xFF00;
  std::uint16_t transaction_ = 0;
};

}  // namespace leadwright
