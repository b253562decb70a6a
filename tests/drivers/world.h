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
#include "shipped_profile.h"

namespace leadwright {

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

  template <class T>
  T run(Task<T> task) {
    return run_to_end(clock, std::move(task));
  }

  void connect() {
    const Result<void> connected = run(load->connect());
    ASSERT_TRUE(connected) << connected.error().line();
    device.heard.clear();
  }
};

}  // namespace leadwright
