// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/wire.h"

#include <unistd.h>

#include <boost/asio/buffer.hpp>
#include <utility>

namespace leadwright {

Wire::Wire(boost::asio::io_context& context, Clock& machine, SimInstrument& instrument, Second byte_time)
    : descriptor_(context),
      machine_(machine),
      instrument_(instrument),
      byte_time_(byte_time),
      answer_timer_(machine) {}

void Wire::serve(int descriptor, std::function<void()> ended) {
  ended_ = std::move(ended);
  descriptor_.assign(descriptor);
  descriptor_.non_blocking(true);
  read();
}

void Wire::read() {
  descriptor_.async_read_some(boost::asio::buffer(input_),
                              [this](const boost::system::error_code& error, std::size_t count) {
                                if (error) {
                                  answer_timer_.cancel();
                                  answers_.clear();
                                  boost::system::error_code ignored;
                                  descriptor_.close(ignored);
                                  if (ended_) ended_();
                                  return;
                                }
                                heard(count);
                                read();
                              });
}

void Wire::heard(std::size_t count) {
  if (!answers_.empty()) {
    answers_.clear();
    answer_timer_.cancel();
    instrument_.interrupted();
  }
  instrument_.exchange({input_.data(), count}, answers_);
  if (answers_.empty()) return;
  if (byte_time_ <= Second(0.0)) {
    answer();
  } else {
    const auto bytes = static_cast<double>(count + answers_.size());
    answer_timer_.set(machine_.now() + byte_time_ * bytes, [this] { answer(); });
  }
}

void Wire::answer() {
  // What a full line does not take is lost, as on a wire that nobody reads.
  std::string_view left = answers_;
  while (!left.empty()) {
    const ssize_t written = ::write(descriptor_.native_handle(), left.data(), left.size());
    if (written <= 0) break;
    left.remove_prefix(static_cast<std::size_t>(written));
  }
  answers_.clear();
}

}  // namespace leadwright
