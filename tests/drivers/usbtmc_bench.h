// SPDX-License-Identifier: Apache-2.0
// A USBTMC link on a real loop and a device behind true system calls. Skips where FUSE can't be mounted.
#pragma once

#include <gmock/gmock.h>

#include <cerrno>
#include <string>

#include "drivers/usbtmc_link.h"
#include "fuse_usbtmc.h"
#include "one_thread.h"

namespace leadwright {

struct UsbtmcBench : OneThread {
  // What a test that waits for a deadline waits for.
  static constexpr Second moment{0.02};

  FuseUsbtmc device;
  std::unique_ptr<Link> link;

  void SetUp() override {
    if (!device.obstacle().empty()) GTEST_SKIP() << device.obstacle();
    device.answer("MEAS:VOLT?\n", {{"12.5\n"}});
    device.answer("MEAS:CURR?\n", {{"3.25\n"}});
    link = make("usbtmc:" + device.path());
    open();
    device.forget_log();
  }
  void open() {
    const Result<void> opened = run(link->open(soon()));
    ASSERT_TRUE(opened) << opened.error().line();
  }
  Result<void> write(const std::string& message) { return run(link->write(message, soon())); }
  /// The outcome of `task`, whose deadline is looked at only after the device has logged `entry`.
  template <class T>
  T run_after(const std::string& entry, Task<T> task) {
    std::optional<T> result;
    const Job job(loop, keep(std::move(task), result));
    EXPECT_TRUE(device.await(entry));
    run_until([&result] { return result.has_value(); });
    return result.value_or(fail(Errc::bug, "the task never ends"));
  }
  Errc write_error(const std::string& message) {
    const Result<void> written = write(message);
    return written ? Errc::bug : written.error().code;
  }
  /// The whole answer, or the error in words.
  std::string ask(const std::string& question) {
    const Result<void> written = write(question);
    if (!written) return written.error().line();
    std::string answer = read(*link);
    while (link->is_open() && !link->message_ended()) answer += read(*link);
    return answer;
  }
};

/// A read that is under way in the helper, which the device does not answer.
class BlockedRead {
 public:
  explicit BlockedRead(UsbtmcBench& bench, Second patient_for = Second(2.0)) : bench_(bench) {
    const std::ptrdiff_t before = std::ranges::count(bench.device.log(), "read");
    EXPECT_TRUE(bench.write("*OPC?\n"));
    job_ = Job(bench.loop, keep(bench.link->read(piece_, bench.clock.now() + patient_for), result_));
    // The loop stands meanwhile, so that the deadline can't come first.
    EXPECT_TRUE(bench.device.await("read", before + 1));
  }
  bool is_done() const { return result_.has_value(); }
  Result<std::size_t> result() {
    bench_.run_until([this] { return is_done(); });
    return result_.value_or(fail(Errc::bug, "the read never ends"));
  }
  std::string bytes() {
    const Result<std::size_t> count = result();
    return count ? std::string(piece_.data(), *count) : count.error().line();
  }
  void abandon() { job_ = Job(); }

 private:
  UsbtmcBench& bench_;
  std::array<char, 64> piece_{};
  std::optional<Result<std::size_t>> result_;
  Job job_;
};

}  // namespace leadwright
