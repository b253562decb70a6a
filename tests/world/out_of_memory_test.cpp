// SPDX-License-Identifier: Apache-2.0
// Memory runs out at the n-th allocation, for every n, while a battery is drawn or charged: whatever the
// error leaves behind, the off path must still work, as leadwrightd's bug handler uses it. Each n is a copy
// of the process, made by fork in mid-flight.
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <new>

#include "tests/world/world_fixture.h"

namespace {

/// Allocations that still succeed; less than none: all do.
long allocations_left = -1;
bool has_run_out = false;

void* allocate(std::size_t size) {
  if (allocations_left == 0) {
    has_run_out = true;
    throw std::bad_alloc();
  }
  if (allocations_left > 0) --allocations_left;
  if (void* memory = std::malloc(size == 0 ? 1 : size)) return memory;
  throw std::bad_alloc();
}

}  // namespace

void* operator new(std::size_t size) {
  return allocate(size);
}
void* operator new[](std::size_t size) {
  return allocate(size);
}
void operator delete(void* memory) noexcept {
  std::free(memory);
}
void operator delete(void* memory, std::size_t) noexcept {
  std::free(memory);
}
void operator delete[](void* memory) noexcept {
  std::free(memory);
}
void operator delete[](void* memory, std::size_t) noexcept {
  std::free(memory);
}

namespace leadwright {
namespace {

enum class Ended : int { safe = 0, left_on = 1, never_ran_out = 2 };

class OutOfMemory : public WorldTest {
 protected:
  void begin(const std::string& spec, const std::string& procedure) {
    make_world();
    begin_run(spec, procedure);
  }

  /// What leadwrightd does with an exception that leaves its loop or a root task.
  void die_safely() {
    allocations_left = -1;
    world->bench().off_now();
  }

  /// In a copy: memory runs out after `count` allocations within the next seconds.
  Ended run_out_after(long count, Second within) {
    bool died = false;
    world->clock().loop().on_bug = [this, &died](const std::exception_ptr&) {
      died = true;
      die_safely();
    };
    allocations_left = count;
    try {
      world->clock().run_until([&died] { return died; }, world->clock().now() + within);
    } catch (...) {
      die_safely();
    }
    allocations_left = -1;
    if (!has_run_out) return Ended::never_ran_out;
    // An error that was taken for an answer that did not come goes on as such: the deadman ends it.
    if (!died) world->clock().run_for(Second(3.0));
    return is_off() ? Ended::safe : Ended::left_on;
  }

  void for_every_allocation(Second within) {
    constexpr long count_max = 200000;
    long count = 0;
    for (; count < count_max; ++count) {
      const pid_t copy = fork();
      ASSERT_GE(copy, 0);
      if (copy == 0) _exit(static_cast<int>(run_out_after(count, within)));
      int status = 0;
      ASSERT_EQ(waitpid(copy, &status, 0), copy);
      ASSERT_TRUE(WIFEXITED(status)) << "allocation " << count << ", signal " << WTERMSIG(status);
      const auto ended = static_cast<Ended>(WEXITSTATUS(status));
      if (ended == Ended::never_ran_out) break;
      ASSERT_EQ(ended, Ended::safe) << "allocation " << count << " left it energised";
    }
    EXPECT_GT(count, 50);
    EXPECT_LT(count, count_max);
    RecordProperty("allocations", static_cast<int>(count));
  }
};

TEST_F(OutOfMemory, switches_a_draw_off_whichever_allocation_fails) {
  begin("cell:sound,c20_ah=60,charged=1", "reserve capacity");
  ASSERT_TRUE(world->clock().run_until([this] { return drawn(bay) > Ampere(20.0); },
                                       world->clock().now() + minutes(5.0)));
  for_every_allocation(Second(1.2));
}

TEST_F(OutOfMemory, switches_a_charge_off_whichever_allocation_fails) {
  begin("cell:sound,c20_ah=60,charged=0.5", "recharge before leaving");
  ASSERT_TRUE(world->clock().run_until([this] { return terminals(bay).charger.on; },
                                       world->clock().now() + minutes(5.0)));
  for_every_allocation(Second(2.2));
}

TEST_F(OutOfMemory, switches_a_ramp_off_whichever_allocation_fails) {
  begin("cell:sound,c20_ah=60,charged=1", "reserve capacity");
  ASSERT_TRUE(world->clock().run_until([this] { return terminals(bay).load.on; },
                                       world->clock().now() + minutes(5.0)));
  for_every_allocation(Second(5.0));
}

}  // namespace
}  // namespace leadwright
