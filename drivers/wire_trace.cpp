// SPDX-License-Identifier: Apache-2.0
#include "drivers/wire_trace.h"

#include <algorithm>
#include <utility>

namespace leadwright {

const char* word(WireTrace::Way way) {
  switch (way) {
    case WireTrace::Way::out:
      return "out";
    case WireTrace::Way::in:
      return "in";
    case WireTrace::Way::note:
      return "note";
  }
  return "note";
}

WireTrace::WireTrace(const Clock& machine, const Clock& bench)
    : machine_(machine), bench_(bench), zero_(machine.now()), entries_(lines_max), ring_(bytes_max, '\0') {}

void WireTrace::listen(const std::shared_ptr<WireTrace>& trace, Link& link) {
  if (trace->is_on_) return;
  trace->is_on_ = true;
  trace->earlier_ = std::move(link.tap);
  link.tap = [trace](const std::string& name, bool outward, std::string_view bytes, Instant at) {
    trace->keep(outward ? Way::out : Way::in, bytes, at);
    if (trace->earlier_) trace->earlier_(name, outward, bytes, at);
  };
}

void WireTrace::leave(Link& link) {
  if (!is_on_) return;
  is_on_ = false;
  WireTap earlier = std::exchange(earlier_, WireTap());
  link.tap = std::move(earlier);
}

void WireTrace::keep(Way way, std::string_view bytes, Instant at) noexcept {
  const std::size_t kept = std::min(bytes.size(), line_bytes_max);
  while (count_ == lines_max || (count_ > 0 && end_ + kept - entry(oldest()).begin > bytes_max)) --count_;
  const std::size_t start = end_ % bytes_max;
  const std::size_t head = std::min(kept, bytes_max - start);
  bytes.copy(ring_.data() + start, head);
  bytes.substr(head).copy(ring_.data(), kept - head);
  ++newest_;
  ++count_;
  entries_[newest_ % lines_max] = Entry{at, bench_.utc(), way, end_, kept, bytes.size()};
  end_ += kept;
}

std::vector<WireTrace::Line> WireTrace::after(std::uint64_t number) const {
  std::vector<Line> lines;
  for (std::uint64_t each = std::max(number + 1, oldest()); each <= newest_ && count_ > 0; ++each) {
    const Entry& from = entry(each);
    const std::size_t start = from.begin % bytes_max;
    const std::size_t head = std::min(from.kept, bytes_max - start);
    std::string bytes = ring_.substr(start, head);
    bytes.append(ring_, 0, from.kept - head);
    lines.push_back({each, from.at, from.bench_at, from.way, std::move(bytes), from.length});
  }
  return lines;
}

}  // namespace leadwright
