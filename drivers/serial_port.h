// SPDX-License-Identifier: Apache-2.0
// How a terminal device becomes a raw, exclusive serial line with the settings of a profile. For: SerialLink.
// Thread: control. Never: reads or writes.
#pragma once

#include <string>

#include "drivers/link.h"
#include "protocol/result.h"

namespace leadwright {

/// A non-blocking descriptor, which the caller closes after share_serial_port(). Fails with not_found, busy,
/// bad_input (no serial device, or a setting that no port has), unsupported (this port does not have it) or
/// io. A pseudo-terminal is not asked for what it can't keep: parity, word length, modem lines.
Result<int> open_serial_port(const std::string& path, const SerialSettings& settings,
                             const std::string& name);
/// Lets others open the port again: on some devices the exclusive flag outlives the descriptor.
void share_serial_port(int descriptor) noexcept;

/// Bits of TIOCMBIS and TIOCMBIC. A line that flow control or RS-485 drives is in neither.
struct ModemLines {
  int raise = 0;
  int lower = 0;
};
ModemLines modem_lines(const SerialSettings& settings);

}  // namespace leadwright
