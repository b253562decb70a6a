// SPDX-License-Identifier: Apache-2.0
#include "tools/benchmarks/paced_links.h"

#include <algorithm>

namespace leadwright {

Second PacedDevice::on_the_wire(std::string_view bytes) const {
  return pace_.byte * static_cast<double>(bytes.size()) + pace_.latency;
}

void PacedDevice::receive(std::string_view bytes, MemoryPort& port) {
  port_ = &port;
  const Instant free = under_way_.empty() ? clock_.now() : std::max(clock_.now(), under_way_.back().due);
  under_way_.push_back({free + on_the_wire(bytes), std::string(bytes)});
  if (under_way_.size() == 1) timer_.set(under_way_.front().due, [this] { hear_due(); });
}

void PacedDevice::hear_due() {
  const std::string bytes = std::move(under_way_.front().bytes);
  under_way_.pop_front();
  if (!under_way_.empty()) timer_.set(under_way_.front().due, [this] { hear_due(); });
  line_.receive(bytes, *this);
}

void PacedDevice::deliver(std::string_view bytes, Second after) {
  port_->deliver(bytes, after + on_the_wire(bytes));
}

Result<std::unique_ptr<Link>> PacedLinks::make(const LinkAddress& address, const SerialSettings&) {
  SimLine* line = sim_.line(address.target);
  if (line == nullptr) return fail(Errc::not_found, "no such line", address.text());
  devices_.push_back(std::make_unique<PacedDevice>(*line, pace_, clock_));
  return std::make_unique<MemoryLink>(address.text(), clock_, *devices_.back());
}

}  // namespace leadwright
