// SPDX-License-Identifier: Apache-2.0
// One instrument on a real line: bytes from a file descriptor to the instrument, answers back as slowly as a
// wire brings them. For the program benchsim. Thread: that of its io_context.
#pragma once

#include <array>
#include <boost/asio/io_context.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <functional>
#include <string>

#include "daemon/clock/clock.h"
#include "tools/benchsim/sim_instrument.h"

namespace leadwright {

class Wire {
 public:
  /// `byte_time` is what each byte takes on the wire, in machine time; zero answers at once.
  Wire(boost::asio::io_context& context, Clock& machine, SimInstrument& instrument, Second byte_time);
  ~Wire() = default;
  Wire(const Wire&) = delete;
  Wire& operator=(const Wire&) = delete;

  /// Serves `descriptor`, which becomes its own, until the other side is gone; then calls `ended` once.
  void serve(int descriptor, std::function<void()> ended);

 private:
  void read();
  void heard(std::size_t count);
  void answer();

  boost::asio::posix::stream_descriptor descriptor_;
  Clock& machine_;
  SimInstrument& instrument_;
  Second byte_time_;
  std::function<void()> ended_;
  std::array<char, 1024> input_{};
  std::string answers_;
  Timer answer_timer_;
};

}  // namespace leadwright
