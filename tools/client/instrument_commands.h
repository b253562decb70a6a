// SPDX-License-Identifier: Apache-2.0
// leadwright instrument probe, talk: one instrument by hand over its real link. Each blocks and gives the
// exit code. Needs no daemon; refuses a line that one holds.
#pragma once

#include "daemon/settings/exit_codes.h"
#include "tools/client/options.h"

namespace leadwright {

/// Exit code negative if the instrument is not as its profile says.
ExitCode instrument_probe(const ClientOptions& client, const ProbeOptions& options);

/// Lines come from standard input. The profile's words for the safe state go out at the end, whatever ends
/// it. Exit code not_permitted if a line was refused.
ExitCode instrument_talk(const ClientOptions& client, const TalkOptions& options);

constexpr const char* instrument_probe_help =
    R"(Nothing is switched on. With a profile, its own words for the safe state go out first; without one,
only *IDN? and a Modbus read do. The daemon must not hold the line.
Examples:
  leadwright instrument probe serial:/dev/serial/by-id/NAME --baud 9600 19200 38400 57600 115200
  leadwright instrument probe serial:/dev/serial/by-id/NAME --baud 19200 --parity even --unit 3
  leadwright instrument probe tcp:192.0.2.7:5025 --profile my_load.toml
  leadwright instrument probe tcp:192.0.2.7:5025 --profile my_load.toml --settings --json
Exit codes: 0 all that can be seen is right; 1 something is not as the profile says; 65 what comes can't be
  read; 66 no such device; 69 the line was lost; 74 it could not be read back as off; 75 nothing answers,
  another instrument does, or somebody holds the line; 77 the profile's questions do more than ask.)";

constexpr const char* instrument_talk_help =
    R"(Lines come from the terminal or standard input. Questions go out (MEAS:VOLT?), and *CLS, *OPC, *WAI,
*ESE n, *SRE n; with a profile, its words for the safe state too, which are also sent at the start, at
the end and on Ctrl-C. Anything else is refused.
Examples:
  leadwright instrument talk tcp:192.0.2.7:5025 --profile my_load.toml
  printf '*IDN?\nSYST:ERR?\n' | leadwright instrument talk serial:/dev/serial/by-id/NAME --baud 115200
Exit codes: 0 done; 65 what comes can't be read; 66 no such device; 69 the line was lost; 74 not read back
  as off at the end; 75 somebody holds the line; 77 a line was refused.)";

}  // namespace leadwright
