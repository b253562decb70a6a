// SPDX-License-Identifier: Apache-2.0
#include "tools/client/instrument/real_time.h"

#include <unistd.h>

#include <boost/asio/io_context.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <exception>
#include <utility>

#include "daemon/clock/real_clock.h"
#include "drivers/system_links.h"

namespace leadwright {

struct RealTime::State {
  boost::asio::io_context context{1};
  AsioLoop loop{context};
  RealClock machine{loop};
  SystemLinkFactory links{loop, machine};
  std::exception_ptr bug;
};

RealTime::RealTime() : state_(std::make_unique<State>()) {
  state_->loop.on_bug = [state = state_.get()](const std::exception_ptr& bug) { state->bug = bug; };
}

RealTime::~RealTime() = default;

Clock& RealTime::machine() {
  return state_->machine;
}

LinkFactory& RealTime::links() {
  return state_->links;
}

void RealTime::run_root(Task<void> task, int interrupt) {
  auto& context = state_->context;
  boost::asio::posix::stream_descriptor watched(context);
  const auto is_interrupted = std::make_shared<bool>(false);
  if (interrupt >= 0) {
    watched.assign(::dup(interrupt));
    watched.async_wait(
        boost::asio::posix::descriptor_base::wait_read,
        [is_interrupted](const boost::system::error_code& error) { *is_interrupted = !error; });
  }
  const Job job(state_->loop, std::move(task));
  while (!job.done() && !*is_interrupted && state_->bug == nullptr) {
    if (context.stopped()) context.restart();
    context.run_one();
  }
  if (state_->bug != nullptr) std::rethrow_exception(std::exchange(state_->bug, nullptr));
}

}  // namespace leadwright
