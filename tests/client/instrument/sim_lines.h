// SPDX-License-Identifier: Apache-2.0
// A simulated bench behind memory links on virtual time, for whatever talks to one instrument.
#pragma once

#include <gtest/gtest.h>

#include <memory>
#include <stdexcept>
#include <string>
#include <vector>

#include "daemon/clock/virtual_clock.h"
#include "drivers/memory_link.h"
#include "drivers/profile.h"
#include "tests/drivers/fake_device.h"
#include "tests/drivers/keep.h"
#include "tools/benchsim/bench_commands.h"
#include "tools/benchsim/benchsim.h"

namespace leadwright {

inline Profile profile_of(const std::string& name) {
  auto profile = load_profile(std::string(LEADWRIGHT_SOURCE_DIR "/config/profiles/") + name + ".toml");
  if (!profile) throw std::runtime_error(profile.error().front().line());
  return std::move(*profile);
}

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

  /// Runs virtual time until the task ends; more than an hour is a hang.
  template <class T>
  T run(Task<T> task) {
    std::optional<T> result;
    const Job job(clock.loop(), keep(std::move(task), result));
    const bool ended = clock.run_until([&job] { return job.done(); }, clock.now() + hours(1.0));
    if (!ended) throw std::runtime_error("the task never ends");
    return std::move(*result);
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
