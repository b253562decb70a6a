// SPDX-License-Identifier: Apache-2.0
// A simulated bench behind memory links on virtual time, for whatever talks to one instrument.
#pragma once

#include <gtest/gtest.h>

#include <memory>
#include <string>
#include <vector>

#include "daemon/clock/virtual_clock.h"
#include "drivers/memory_link.h"
#include "drivers/profile.h"
#include "tests/drivers/fake_device.h"
#include "tests/drivers/keep.h"
#include "tests/drivers/shipped_profile.h"
#include "tools/benchsim/bench_commands.h"
#include "tools/benchsim/benchsim.h"

namespace leadwright {

struct SimLines : testing::Test {
  VirtualClock clock;
  SimBench bench{{1, 0, true, 1, Second(0.004)}, clock};
  MemoryLinkFactory links{clock};
  FakeDevice device;  ///< "memory:fake"
  const LinkAddress load{LinkAddress::Kind::memory, "bay-1.load"};
  const LinkAddress charger{LinkAddress::Kind::memory, "bay-1.charger"};
  const LinkAddress fake{LinkAddress::Kind::memory, "fake"};

  void SetUp() override {
    bench.add_to(links);
    links.add("fake", device);
  }

  template <class T>
  T run(Task<T> task) {
    return run_to_end(clock, std::move(task));
  }
  /// One line of benchsim's control line.
  std::string tell_bench(const std::string& line) { return bench_command(bench, line); }
  /// What an instrument answers on a wire that nobody listens to.
  std::string ask_directly(const std::string& instrument, const std::string& message) {
    std::string answers;
    bench.instrument(instrument)->exchange(message + "\n", answers);
    return answers;
  }
};

}  // namespace leadwright
