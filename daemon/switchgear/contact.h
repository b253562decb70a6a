// SPDX-License-Identifier: Apache-2.0
// One normally open contact: an output of a box, and the input that mirrors it where there is one.
#pragma once

#include "daemon/switchgear/box.h"

namespace leadwright {

struct Contact {
  Box* box = nullptr;
  int output = 0;
  std::optional<int> mirror;

  /// Both read back.
  Task<Result<void>> close() const { return box->switch_output(output, true, mirror); }
  Task<Result<void>> open() const { return box->switch_output(output, false, mirror); }
  /// Synchronous, no allocation.
  void open_now() const noexcept { box->off_now(output); }
  /// "box-1 output 3"
  std::string name() const { return box->name() + " output " + std::to_string(output); }
};

}  // namespace leadwright
