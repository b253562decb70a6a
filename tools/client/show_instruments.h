// SPDX-License-Identifier: Apache-2.0
// Instruments as text for people. Each gives the body itself if it can't be read. Pure; any thread.
#pragma once

#include <string>

namespace leadwright {

std::string show_instruments(const std::string& body);     ///< of instrument.list
std::string show_instrument(const std::string& body);      ///< of instrument.show
std::string show_wire_trace(const std::string& body);      ///< of instrument.trace
std::string show_trace_switched(const std::string& body);  ///< of instrument.trace.set

}  // namespace leadwright
