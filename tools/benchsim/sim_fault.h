// SPDX-License-Identifier: Apache-2.0
// What may be wrong with a simulated instrument. What may be wrong with its line: drivers/cable.h.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace leadwright {

enum class SimFault {
  ignores_off,     ///< takes off commands, stays on
  ignores_amps,    ///< takes and reads back any current, gives or draws its most
  ignores_volts,   ///< takes and reads back any voltage, gives its most
  ignores_trips,   ///< its own protection never acts
  stuck_reading,   ///< answers its last readings for ever
  reads_tenfold,   ///< shows ten times the value: a range that did not switch
  reads_clipped,   ///< shows no more than a tenth of its range
  overload,        ///< shows 9.9E37 (SCPI) or not-a-number (Modbus)
  no_answer,       ///< hears, obeys, says nothing
  wrong_identity,  ///< another instrument answers on this line
  busy,            ///< Modbus: answers exception 06 and does nothing
  broken,          ///< Modbus: answers exception 04 and does nothing
};

/// The fault as commands name it ("ignores_off").
std::optional<SimFault> sim_fault_of(std::string_view word);
/// All of these words, with commas between.
std::string sim_fault_words();

}  // namespace leadwright
