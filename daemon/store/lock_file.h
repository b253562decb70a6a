// SPDX-License-Identifier: Apache-2.0
// One daemon for one state folder: a lock that ends with the process, however it ends.
#pragma once

#include <string>

#include "protocol/result.h"

namespace leadwright {

class LockFile {
 public:
  /// Fails with busy, naming the owner's process number, if another process or LockFile holds it. The file
  /// stays behind; only the lock on it means something.
  static Result<LockFile> take(const std::string& path);
  LockFile(LockFile&& other) noexcept;
  LockFile& operator=(LockFile&& other) noexcept;
  ~LockFile();

 private:
  explicit LockFile(int descriptor) : descriptor_(descriptor) {}
  int descriptor_ = -1;
};

}  // namespace leadwright
