// SPDX-License-Identifier: Apache-2.0
// Real time on one io_context and one thread, for links to real descriptors.
#pragma once

#include <gtest/gtest.h>
#include <poll.h>
#include <unistd.h>

#include <array>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>
#include <utility>

#include "daemon/clock/real_clock.h"
#include "drivers/system_links.h"
#include "keep.h"

namespace leadwright {

// Longer than anything here takes; a test that hits it fails.
constexpr Second patience{5.0};

class Descriptor {
 public:
  explicit Descriptor(int number) : number_(number) {}
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  ~Descriptor() { close(); }
  int number() const { return number_; }
  void close() {
    if (number_ >= 0) ::close(number_);
    number_ = -1;
  }

 private:
  int number_;
};

struct OneThread : testing::Test {
  boost::asio::io_context context;
  AsioLoop loop{context};
  RealClock clock{loop};
  SystemLinkFactory factory{loop, clock};

  template <class T>
  T run(Task<T> task) {
    std::optional<T> result;
    const Job job(loop, keep(std::move(task), result));
    run_until([&job] { return job.done(); });
    if (!job.done()) throw std::runtime_error("the task never ends");
    return std::move(*result);
  }
  template <class F>
  void run_until(F done) {
    Timer alarm(clock);
    bool is_late = false;
    alarm.set(clock.now() + patience, [&is_late] { is_late = true; });
    while (!done() && !is_late) {
      if (context.stopped()) context.restart();
      context.run_one();
    }
  }
  std::unique_ptr<Link> make(const std::string& text) {
    auto address = LinkAddress::parse(text);
    auto link = factory.make(address.value(), SerialSettings{});
    return std::move(link.value());
  }
  Instant soon() const { return clock.now() + Second(2.0); }
  std::string read(Link& link) {
    std::array<char, 64> piece;
    const Result<std::size_t> count = run(link.read(piece, soon()));
    return count ? std::string(piece.data(), *count) : count.error().line();
  }
};

/// What there is to read, after waiting a while for the first byte; empty if nothing came.
inline std::string take(int descriptor) {
  pollfd readable{descriptor, POLLIN, 0};
  if (::poll(&readable, 1, static_cast<int>(patience.si() * 1000.0)) != 1) return {};
  std::array<char, 4096> piece;
  const ssize_t count = ::read(descriptor, piece.data(), piece.size());
  return count < 0 ? std::string() : std::string(piece.data(), static_cast<std::size_t>(count));
}

inline void give(int descriptor, std::string_view bytes) {
  ASSERT_EQ(::write(descriptor, bytes.data(), bytes.size()), static_cast<ssize_t>(bytes.size()));
}

}  // namespace leadwright
