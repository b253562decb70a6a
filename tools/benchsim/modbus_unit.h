// SPDX-License-Identifier: Apache-2.0
// The device's side of Modbus: one unit with its coils, inputs and registers. Pure: a request PDU in, the
// answer PDU out. Functions 1 to 6, 15, 16 and 23, exceptions 01 to 03; source: the Modbus application
// protocol specification V1.1b3. For: the simulated instruments, which add their registers. Thread: the
// bench's. Never: knows frames; those are modbus_server.h.
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "protocol/modbus.h"

namespace leadwright {

/// What a unit may answer instead of carrying a request out. `none` is no exception.
enum class ModbusException : std::uint8_t {
  none = 0,
  function = 1,  ///< it has no such function
  address = 2,   ///< it has no such register
  value = 3,     ///< the request is malformed, or the register can't take that
  failure = 4,   ///< it tried and could not
  busy = 6,
};

class ModbusUnit {
 public:
  ModbusUnit() = default;
  ModbusUnit(const ModbusUnit&) = delete;
  ModbusUnit& operator=(const ModbusUnit&) = delete;
  virtual ~ModbusUnit() = default;

  /// Carries out one request and appends the answer. Nothing is written unless every address of the request
  /// is there; values are taken in the order of their addresses up to the first that is refused.
  void serve(std::string_view request, std::string& answer);
  /// The next `times` requests are not carried out but answered with this exception.
  void refuse(ModbusException exception, int times);

 protected:
  using ReadBit = std::function<bool()>;
  using WriteBit = std::function<ModbusException(bool)>;
  using ReadWord = std::function<std::uint16_t()>;
  using WriteWord = std::function<ModbusException(std::uint16_t)>;

  void add_coil(int at, ReadBit read, WriteBit write);
  void add_discrete(int at, ReadBit read);
  void add_holding(int at, ReadWord read, WriteWord write);
  void add_input(int at, ReadWord read);
  /// A binary32 in two input registers, order abcd; read once for each request, so that its words belong
  /// together. 9.9E37 and more are shown as not-a-number.
  void add_input_f32(int at, std::function<double()> read);
  /// A number as a u16 of steps of `step` in a holding register, from 0 to `most`.
  void add_scaled(int at, double step, double most, std::function<double()> read,
                  std::function<void(double)> write);

 private:
  virtual void begin_request() {}

  struct Bit {
    int at;
    ReadBit read;
    WriteBit write;
  };
  struct Register {
    int at;
    int words;
    std::function<std::uint32_t()> read;
    WriteWord write;
  };
  template <class Cell>
  static void insert(std::vector<Cell>& cells, Cell cell);
  template <class Cell>
  static Cell* find(std::vector<Cell>& cells, int at);

  ModbusException carry_out(std::string_view request, std::string& answer);
  ModbusException read_bits(std::vector<Bit>& bits, std::string_view request, std::string& answer);
  ModbusException read_words(std::vector<Register>& registers, int at, int count, std::string& answer);
  ModbusException write_one(std::string_view request, std::string& answer);
  ModbusException write_bits(std::string_view request, std::string& answer);
  ModbusException write_words(int at, std::string_view bytes);
  ModbusException write_many(std::string_view request, std::string& answer);
  ModbusException exchange_words(std::string_view request, std::string& answer);

  std::vector<Bit> coils_;  // each by its address, rising
  std::vector<Bit> discretes_;
  std::vector<Register> holdings_;
  std::vector<Register> inputs_;
  ModbusException refusal_ = ModbusException::none;
  int refusals_ = 0;
};

}  // namespace leadwright
