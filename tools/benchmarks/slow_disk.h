// SPDX-License-Identifier: Apache-2.0
// A disk that stands still: while one lives, every fsync and fdatasync of this program takes so long. The
// program's own fdatasync stands before the C library's, so that SQLite's calls come here.
#pragma once

#include "daemon/quantities/quantity.h"

namespace leadwright {

class SlowDisk {
 public:
  explicit SlowDisk(Second each);
  SlowDisk(const SlowDisk&) = delete;
  SlowDisk& operator=(const SlowDisk&) = delete;
  ~SlowDisk();

  /// How many calls it has made slow.
  static int calls();
};

}  // namespace leadwright
