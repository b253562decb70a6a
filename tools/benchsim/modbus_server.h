// SPDX-License-Identifier: Apache-2.0
// The device's side of a Modbus line: frames in, frames out, for one unit or several on the same wires. RTU
// on a serial line, MBAP over TCP. Sources: MODBUS over serial line V1.02, MODBUS messaging on TCP/IP V1.0b.
// For: the simulated bench. Thread: the bench's. Read next: modbus_unit.h.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "daemon/clock/clock.h"
#include "tools/benchsim/modbus_unit.h"
#include "tools/benchsim/sim_instrument.h"

namespace leadwright {

/// What a line needs of a unit.
class ModbusStation {
 public:
  virtual ~ModbusStation() = default;
  /// Carries a request out; appends the answer, or nothing if it does not answer.
  virtual void request(std::string_view pdu, std::string& answer) = 0;
};

class ModbusServer final : public LineEnd {
 public:
  enum class Framing { rtu, tcp };
  /// `silence` is machine time. RTU: it ends a frame that was not finished. Both: what follows a broken frame
  /// is not heard before it.
  ModbusServer(Framing framing, const Clock& bench, Second silence)
      : framing_(framing), bench_(bench), silence_(silence) {}

  /// `number` is 1 to 247. The station outlives this.
  void add(int number, ModbusStation& station) { units_.push_back({number, &station}); }
  std::size_t units() const { return units_.size(); }

  /// RTU: what is broken, or for a unit that is not here, is not answered; unit 0 is everybody: writes are
  /// carried out, nobody answers. TCP: an unknown unit is answered with exception 0B, as a gateway does; a
  /// server with one unit also takes 0 and 255 for it.
  void exchange(std::string_view bytes, std::string& answers) override;
  void connected() override;

 private:
  struct Unit {
    int number;
    ModbusStation* station;
  };
  bool hears(std::string_view bytes);
  void exchange_rtu(std::string_view bytes, std::string& answers);
  void exchange_tcp(std::string_view bytes, std::string& answers);
  void serve_rtu(std::string_view frame, std::string& answers);
  void serve_tcp(std::string_view frame, std::string& answers);
  void broadcast(std::string_view pdu);
  ModbusStation* station(int number) const;

  Framing framing_;
  const Clock& bench_;
  Second silence_;
  std::vector<Unit> units_;
  std::string input_;
  std::string pdu_;
  Instant heard_at_;
  bool is_deaf_ = false;
};

}  // namespace leadwright
