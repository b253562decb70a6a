// SPDX-License-Identifier: Apache-2.0
// The byte trace of a link as lines of text, read on from answer to answer. Pure; one thread.
#pragma once

#include <cstdint>
#include <string>

#include "protocol/result.h"

namespace leadwright {

class TraceView {
 public:
  /// One line of text for each that was not seen yet: bench time, machine seconds, ">" to the instrument or
  /// "<" from it or "*" for a note, and the bytes; a line of its own where lines were lost before they were
  /// read. Empty if there is nothing new. Fails with garbled for what is not a trace.
  Result<std::string> take(const std::string& body);
  /// Number of the last line seen: what to ask for lines after.
  std::uint64_t newest() const { return newest_; }
  bool is_on() const { return is_on_; }

 private:
  std::uint64_t newest_ = 0;
  bool is_on_ = false;
};

}  // namespace leadwright
