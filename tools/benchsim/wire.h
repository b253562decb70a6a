// SPDX-License-Identifier: Apache-2.0
// One simulated line on a file descriptor: bytes to what hangs at its end, answers back as slowly as a wire
// brings them. For the program benchsim. Thread: that of its io_context.
#pragma once

#include <array>
#include <boost/asio/io_context.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <functional>
#include <string>
#include <vector>

#include "daemon/clock/clock.h"
#include "drivers/deliveries.h"
#include "tools/benchsim/sim_line.h"

namespace leadwright {

class Wire {
 public:
  /// `byte_time` is what each byte takes on the wire, in machine time; zero answers at once.
  Wire(boost::asio::io_context& context, Clock& machine, SimLine& line, Second byte_time);
  ~Wire() = default;
  Wire(const Wire&) = delete;
  Wire& operator=(const Wire&) = delete;

  /// Serves `descriptor`, which becomes its own, until the other side is gone; then calls `ended` once.
  void serve(int descriptor, std::function<void()> ended);
  /// Ends serving without a call.
  void close();

 private:
  void read();
  void heard(std::string_view bytes);
  void exchange(std::string_view bytes);
  void answer();
  void write(std::string_view bytes);

  boost::asio::posix::stream_descriptor descriptor_;
  Clock& machine_;
  SimLine& line_;
  Second byte_time_;
  std::function<void()> ended_;
  unsigned serving_ = 0;  // counts descriptors: a read of an earlier one says nothing about this one
  std::array<char, 1024> input_{};
  std::vector<Cable::Piece> pieces_;
  std::string answers_;
  Timer answer_timer_;
  Deliveries deliveries_;
};

}  // namespace leadwright
