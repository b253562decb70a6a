// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/wire.h"

#include <unistd.h>

#include <boost/asio/buffer.hpp>
#include <utility>

namespace leadwright {

Wire::Wire(boost::asio::io_context& context, Clock& machine, SimLine& line, Second byte_time)
    : descriptor_(context),
      machine_(machine),
      line_(line),
      byte_time_(byte_time),
      answer_timer_(machine),
      deliveries_(machine, *line.cable(), [this](std::string_view bytes) { write(bytes); }) {}

void Wire::serve(int descriptor, std::function<void()> ended) {
  ended_ = std::move(ended);
  ++serving_;
  descriptor_.assign(descriptor);
  descriptor_.non_blocking(true);
  read();
}

void Wire::close() {
  ++serving_;
  answer_timer_.cancel();
  answers_.clear();
  deliveries_.stop();
  boost::system::error_code ignored;
  descriptor_.close(ignored);
}

void Wire::read() {
  descriptor_.async_read_some(
      boost::asio::buffer(input_),
      [this, serving = serving_](const boost::system::error_code& error, std::size_t count) {
        if (serving != serving_) return;
        if (error) {
          close();
          if (ended_) ended_();
          return;
        }
        heard({input_.data(), count});
        if (serving == serving_) read();
      });
}

void Wire::heard(std::string_view bytes) {
  if (line_.cable()->is_quiet()) return exchange(bytes);
  pieces_.clear();
  line_.cable()->pass(bytes, true, pieces_);
  for (const Cable::Piece& piece : pieces_) exchange(piece.bytes);
}

void Wire::exchange(std::string_view bytes) {
  if (!answers_.empty()) {
    answers_.clear();
    answer_timer_.cancel();
    line_.end().interrupted();
  }
  line_.end().exchange(bytes, answers_);
  if (answers_.empty()) return;
  if (byte_time_ <= Second(0.0)) {
    answer();
  } else {
    const auto on_the_wire = static_cast<double>(bytes.size() + answers_.size());
    answer_timer_.set(machine_.now() + byte_time_ * on_the_wire, [this] { answer(); });
  }
}

void Wire::answer() {
  const std::string answers = std::exchange(answers_, std::string());
  deliveries_.send(answers, Second(0.0));
}

void Wire::write(std::string_view bytes) {
  // What a full line does not take is lost, as on a wire that nobody reads.
  while (!bytes.empty()) {
    const ssize_t written = ::write(descriptor_.native_handle(), bytes.data(), bytes.size());
    if (written <= 0) break;
    bytes.remove_prefix(static_cast<std::size_t>(written));
  }
}

}  // namespace leadwright
