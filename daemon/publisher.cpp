// SPDX-License-Identifier: Apache-2.0
#include "daemon/publisher.h"

namespace leadwright {

namespace {
constexpr Second publish_period{0.5};
}  // namespace

Publisher::Publisher(Clock& machine, Bench& bench, std::function<void(std::string)> show)
    : machine_(machine), bench_(bench), show_(std::move(show)) {
  show_(bench_.snapshot());
  job_ = Job(machine.loop(), publish());
}

Task<void> Publisher::publish() {
  while (true) {
    auto pause = machine_.sleep_for(publish_period);
    co_await pause;
    std::string snapshot = co_await bench_.snapshot_in_turns();
    show_(std::move(snapshot));
  }
}

}  // namespace leadwright
