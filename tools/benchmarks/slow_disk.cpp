// SPDX-License-Identifier: Apache-2.0
#include "tools/benchmarks/slow_disk.h"

#include <poll.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <atomic>

namespace leadwright {

namespace {

constexpr int slice_ms = 20;
std::atomic<int> slow_ms{0};
std::atomic<int> slow_calls{0};

void stand_still() {
  const int each = slow_ms;
  if (each == 0) return;
  ++slow_calls;
  // In slices, so that the end of it is not waited for.
  for (int left = each; left > 0 && slow_ms != 0; left -= slice_ms) ::poll(nullptr, 0, slice_ms);
}

}  // namespace

SlowDisk::SlowDisk(Second each) {
  slow_calls = 0;
  slow_ms = static_cast<int>(each.si() * 1e3);
}

SlowDisk::~SlowDisk() {
  slow_ms = 0;
}

int SlowDisk::calls() {
  return slow_calls;
}

}  // namespace leadwright

extern "C" int fsync(int descriptor) {
  leadwright::stand_still();
  return static_cast<int>(::syscall(SYS_fsync, descriptor));
}

extern "C" int fdatasync(int descriptor) {
  leadwright::stand_still();
  return static_cast<int>(::syscall(SYS_fdatasync, descriptor));
}
