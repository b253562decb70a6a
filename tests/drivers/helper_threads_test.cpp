// SPDX-License-Identifier: Apache-2.0
#include "drivers/helper_threads.h"

#include <gtest/gtest.h>

#include <csignal>
#include <future>

namespace leadwright {
namespace {

constexpr Second patience{5.0};
constexpr Second moment{0.01};

TEST(HelperThreads, are_joined_when_their_owner_goes) {
  std::promise<void> may_end;
  std::atomic<bool> has_ended = false;
  {
    HelperThreads threads;
    ASSERT_TRUE(threads.run("test", [&may_end, &has_ended] {
      may_end.get_future().wait();
      has_ended = true;
    }));
    EXPECT_FALSE(has_ended);
    may_end.set_value();
  }
  EXPECT_TRUE(has_ended);
}

TEST(HelperThreads, get_no_signals) {
  std::promise<bool> is_blocked;
  HelperThreads threads;
  ASSERT_TRUE(threads.run("test", [&is_blocked] {
    sigset_t blocked;
    pthread_sigmask(SIG_SETMASK, nullptr, &blocked);
    is_blocked.set_value(sigismember(&blocked, SIGTERM) == 1 && sigismember(&blocked, SIGINT) == 1);
  }));
  EXPECT_TRUE(is_blocked.get_future().get());
  sigset_t own;
  pthread_sigmask(SIG_SETMASK, nullptr, &own);
  EXPECT_EQ(sigismember(&own, SIGTERM), 0) << "those of the starter are as before";
}

TEST(HelperThreads, let_go_of_what_their_work_kept_alive_when_it_ends) {
  auto kept = std::make_shared<int>(1);
  const std::weak_ptr<int> seen = kept;
  {
    HelperThreads threads;
    ASSERT_TRUE(threads.run("test", [kept = std::move(kept)] { ++*kept; }));
  }
  EXPECT_TRUE(seen.expired());
}

TEST(HelperThreads, are_waited_for_until_the_last_urgent_message_is_out) {
  std::promise<void> may_send;
  HelperThreads threads;
  EXPECT_TRUE(threads.wait_for_urgent(Second(0.0))) << "nothing waits";
  threads.urgent_begins();
  threads.urgent_begins();
  ASSERT_TRUE(threads.run("test", [&may_send, &threads] {
    threads.urgent_ends();
    may_send.get_future().wait();
    threads.urgent_ends();
  }));
  EXPECT_FALSE(threads.wait_for_urgent(moment));
  may_send.set_value();
  EXPECT_TRUE(threads.wait_for_urgent(patience));
}

}  // namespace
}  // namespace leadwright
