// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <fcntl.h>

#include <cstdlib>
#include <stdexcept>
#include <string>

#include "one_thread.h"

namespace leadwright {

/// A pair of terminals: the instrument's end is `master`, the daemon opens path().
struct PseudoTerminal {
  Descriptor master{::posix_openpt(O_RDWR | O_NOCTTY | O_CLOEXEC)};

  PseudoTerminal() {
    if (::grantpt(master.number()) != 0 || ::unlockpt(master.number()) != 0) {
      throw std::runtime_error("no pseudo-terminal");
    }
  }
  std::string path() const { return ::ptsname(master.number()); }
};

}  // namespace leadwright
