// SPDX-License-Identifier: Apache-2.0
// One instrument, its fake device and virtual time.
#pragma once

#include <gtest/gtest.h>

#include <memory>
#include <string>

#include "daemon/clock/virtual_clock.h"
#include "drivers/instrument.h"
#include "drivers/memory_link.h"
#include "fake_device.h"
#include "keep.h"

namespace leadwright {

inline Profile shipped_profile(const std::string& name) {
  auto profile = load_profile(std::string(LEADWRIGHT_SOURCE_DIR "/config/profiles/") + name + ".toml");
  if (!profile) throw std::runtime_error(profile.error().front().line());
  return std::move(*profile);
}

struct LoadWorld : testing::Test {
  VirtualClock clock;
  Profile profile = shipped_profile("simulated_load");
  FakeDevice device;
  MemoryLink* link = nullptr;
  std::unique_ptr<Instrument> load;

  void SetUp() override { make_load(); }

  void make_load(FaultPlan plan = {}) {
    auto memory = std::make_unique<MemoryLink>("memory:bay-1.load", clock, device, plan);
    link = memory.get();
    load = std::make_unique<Instrument>("bay-1.load", std::move(memory), profile, clock, clock);
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

  void connect() {
    const Result<void> connected = run(load->connect());
    ASSERT_TRUE(connected) << connected.error().line();
    device.heard.clear();
  }
};

}  // namespace leadwright
