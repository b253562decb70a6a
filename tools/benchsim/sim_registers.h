// SPDX-License-Identifier: Apache-2.0
// The registers of the simulated Modbus instruments. Every address and every number here is invented for this
// bench: no maker's layout, and no standard has one. Addresses count from 0, as on the wire. 32-bit values
// are IEEE 754 binary32 in two registers, order abcd. The profiles that speak it:
// config/profiles/simulated_modbus_*.
//
// every unit
//   input    0        4C57 ("LW"); 0BAD from another instrument
//   input    1        what it is: 1 charger, 2 load, 3 thermometer, 4 relay box
//   input    2        version of this layout
//   input    3, 4     f32: bench seconds per second ("the simulated scale")
//   input    5        serial number, one for each instrument of the bench
//   input    6        how often it was powered up, from 1
//   input    7        number of channels of a thermometer, of outputs of a relay box; else 0
//   coil     8        restarted: 1 after power-up until 0 is written
//   discrete 17       the same
//   holding  20       watchdog, u16 in 0.1 s of machine time, 0 to 600.0 s; 0: none. Any request to the unit
//   feeds
//                     it. When it runs out, output, input or relays go off.
//   discrete 16       the watchdog ran out; until it is cleared (coil 1), or armed anew
//   coil     1        write 1: clears what tripped and the watchdog's mark; reads 0
// charger
//   coil     0        output on. On while tripped is answered with exception 04
//   holding  10       volts, u16 in 0.01 V, 0 to 18.00
//   holding  11       limit of the current, u16 in 0.01 A, 0 to 40.00
//   holding  12       over-voltage trip, u16 in 0.01 V, 0 to 20.00; 0: none
//   holding  13       over-current trip, u16 in 0.01 A, 0 to 50.00; 0: none
//   discrete 0        over-voltage trip acted
//   discrete 1        over-current trip acted
//   input    100..103 volts and amps, f32 each; not-a-number where it can't measure
// load: as the charger, but
//   coil     0        input on
//   holding  11       current drawn, u16 in 0.01 A, 0 to 100.00
//   holding  12, 13   trips, 0 to 60.00 V, 0 to 110.00 A
//   holding  14       low-voltage cut-off, u16 in 0.01 V, 0 to 60.00; 0: none
//   discrete 2        the cut-off acted
//   no holding 10
// thermometer
//   input    100, 101 degrees Celsius of channel 0, f32; 102, 103 of channel 1; and so on
// relay box
//   coil     0..7     outputs
//   discrete 0..7     inputs
//   discrete 8..15    auxiliary contact of each output: 1 while its main contact is really closed
//   coil     1 of the others does not exist there: arming the watchdog anew clears its mark
#pragma once

#include <cstdint>

namespace leadwright::sim_registers {

constexpr std::uint16_t maker = 0x4C57;
constexpr std::uint16_t other_maker = 0x0BAD;
constexpr std::uint16_t layout_version = 1;

enum class Kind : std::uint16_t { charger = 1, load = 2, thermometer = 3, relay_box = 4 };

// input
constexpr int in_maker = 0;
constexpr int in_kind = 1;
constexpr int in_version = 2;
constexpr int in_scale = 3;
constexpr int in_serial = 5;
constexpr int in_starts = 6;
constexpr int in_channels = 7;
constexpr int in_sample = 100;
// coil
constexpr int coil_on = 0;
constexpr int coil_clear = 1;
constexpr int coil_restarted = 8;
// holding
constexpr int hold_volts = 10;
constexpr int hold_amps = 11;
constexpr int hold_trip_volts = 12;
constexpr int hold_trip_amps = 13;
constexpr int hold_cutoff = 14;
constexpr int hold_watchdog = 20;
// discrete
constexpr int bit_over_volts = 0;
constexpr int bit_over_amps = 1;
constexpr int bit_cutoff = 2;
constexpr int bit_aux = 8;
constexpr int bit_watchdog = 16;
constexpr int bit_restarted = 17;

constexpr double setting_step = 0.01;
constexpr double watchdog_step_s = 0.1;
constexpr double watchdog_max_s = 600.0;

}  // namespace leadwright::sim_registers
