// SPDX-License-Identifier: Apache-2.0
#include "drivers/link_input.h"

#include <algorithm>

namespace leadwright {

void LinkInput::open() {
  discard();
  is_open_ = true;
}

void LinkInput::close() {
  is_open_ = false;
  discard();
  arrived_.notify();
}

void LinkInput::append(std::string_view bytes) {
  if (!is_open_ || bytes.empty()) return;
  if (bytes_.size() + bytes.size() > unread_max) discard();
  bytes_.append(bytes);
  arrived_.notify();
}

void LinkInput::discard() {
  bytes_.clear();
  taken_ = 0;
}

Task<Result<std::size_t>> LinkInput::read(std::span<char> into, Instant deadline, const std::string& where) {
  while (taken_ == bytes_.size()) {
    if (!is_open_) co_return fail(Errc::link_lost, "the link is closed", where, "check cable and power");
    auto arrival = arrived_.wait_until(deadline);
    const bool came = co_await arrival;
    if (!came && taken_ == bytes_.size()) co_return fail(Errc::timed_out, "no answer in time", where);
  }
  const std::size_t count = std::min(into.size(), bytes_.size() - taken_);
  std::copy_n(bytes_.data() + taken_, count, into.data());
  taken_ += count;
  if (taken_ == bytes_.size()) discard();
  co_return count;
}

}  // namespace leadwright
