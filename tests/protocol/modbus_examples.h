// SPDX-License-Identifier: Apache-2.0
// Published and captured Modbus messages with their sources, for the tests of the codecs.
#pragma once

#include <cctype>
#include <string>
#include <string_view>
#include <vector>

namespace leadwright {

/// "01 0A" as two bytes.
inline std::string hex(std::string_view text) {
  std::string bytes;
  int high = -1;
  for (const char c : text) {
    if (c == ' ') continue;
    const int digit = c <= '9' ? c - '0' : std::toupper(c) - 'A' + 10;
    if (high >= 0) bytes.push_back(static_cast<char>(high << 4 | digit));
    high = high >= 0 ? -1 : digit;
  }
  return bytes;
}

/// A request, its answer and the RTU checks of both for unit 1.
struct ModbusExample {
  const char* name;
  std::string request;
  std::string request_crc;
  std::string answer;
  std::string answer_crc;
};

/// The examples of the Modbus application protocol V1.1b3, section 6 (from memory; those of functions 1 to 4
/// also stand in the tests of libmodbus, that of function 23 in four independent test suites). The checks
/// were computed by an outside program for unit 1.
inline const std::vector<ModbusExample>& modbus_examples() {
  static const std::vector<ModbusExample> examples{
      {"read coils", hex("01 00 13 00 13"), hex("8C 02"), hex("01 03 CD 6B 05"), hex("42 82")},
      {"read discretes", hex("02 00 C4 00 16"), hex("B8 39"), hex("02 03 AC DB 35"), hex("22 88")},
      {"read holdings", hex("03 00 6B 00 03"), hex("74 17"), hex("03 06 02 2B 00 00 00 64"), hex("05 7A")},
      {"read inputs", hex("04 00 08 00 01"), hex("B0 08"), hex("04 02 00 0A"), hex("39 37")},
      {"write coil", hex("05 00 AC FF 00"), hex("4C 1B"), hex("05 00 AC FF 00"), hex("4C 1B")},
      {"write holding", hex("06 00 01 00 03"), hex("98 0B"), hex("06 00 01 00 03"), hex("98 0B")},
      {"write coils", hex("0F 00 13 00 0A 02 CD 01"), hex("72 CB"), hex("0F 00 13 00 0A"), hex("24 09")},
      {"write holdings", hex("10 00 01 00 02 04 00 0A 01 02"), hex("92 30"), hex("10 00 01 00 02"),
       hex("10 08")},
      {"exchange", hex("17 00 03 00 06 00 0E 00 03 06 00 FF 00 FF 00 FF"), hex("46 91"),
       hex("17 0C 00 FE 0A CD 00 01 00 03 00 0D 00 FF"), hex("1D 79")},
      {"exception", hex("01 00 13 00 13"), hex("8C 02"), hex("81 02"), hex("C1 91")},
  };
  return examples;
}

}  // namespace leadwright
