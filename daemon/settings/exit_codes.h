// SPDX-License-Identifier: Apache-2.0
// Exit codes of leadwrightd, leadwright and benchsim, after sysexits.h. One table for the programs, the
// manual and their tests. Pure; any thread.
#pragma once

#include "protocol/result.h"

namespace leadwright {

enum class ExitCode : int {
  ok = 0,
  negative = 1,        ///< the answer is no: does not conform, was not graded, a demo ticket failed
  usage = 64,          ///< the command line can't be understood
  bad_data = 65,       ///< a file or an answer given to us is wrong
  no_input = 66,       ///< a file, ticket, place or device that was named does not exist
  unavailable = 69,    ///< the daemon can't be reached
  bug = 70,            ///< our own fault
  cannot_create = 73,  ///< an output file or folder can't be made
  io = 74,             ///< reading or writing failed
  try_again = 75,      ///< busy or not in a state for it now: a second daemon, a place in use
  not_permitted = 77,  ///< refused for safety, or not allowed
  configuration = 78,  ///< the configuration is wrong; restarting will not help
};

/// What a program ends with when this error stops it.
constexpr ExitCode exit_code(Errc code) {
  switch (code) {
    case Errc::bad_input:
    case Errc::garbled:
    case Errc::unsupported:
      return ExitCode::bad_data;
    case Errc::not_found:
      return ExitCode::no_input;
    case Errc::link_lost:
      return ExitCode::unavailable;
    case Errc::conflict:
    case Errc::timed_out:
    case Errc::busy:
      return ExitCode::try_again;
    case Errc::refused:
      return ExitCode::not_permitted;
    case Errc::not_verified:
    case Errc::io:
      return ExitCode::io;
    case Errc::stopped:
      return ExitCode::negative;
    case Errc::bug:
      return ExitCode::bug;
  }
  return ExitCode::bug;
}

}  // namespace leadwright
