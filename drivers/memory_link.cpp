// SPDX-License-Identifier: Apache-2.0
#include "drivers/memory_link.h"

#include <algorithm>

namespace leadwright {

bool FaultPlan::is_quiet() const {
  return std::max({drop, flip, duplicate, delay, split, stall, unplug}) <= 0.0;
}

MemoryLink::MemoryLink(std::string name, Clock& machine, MemoryDevice& device, FaultPlan plan)
    : name_(std::move(name)),
      machine_(machine),
      device_(device),
      plan_(plan),
      is_quiet_(plan.is_quiet()),
      random_(plan.seed),
      input_(machine),
      delivery_timer_(machine) {}

// std::uniform_real_distribution may differ between libraries; the same seed must give the same world.
double MemoryLink::draw() {
  return static_cast<double>(random_() >> 11U) * 0x1.0p-53;
}

bool MemoryLink::happens(double probability) {
  return probability > 0.0 && draw() < probability;
}

Task<Result<void>> MemoryLink::open(Instant) {
  if (machine_.now() < unplugged_until_) {
    co_return fail(Errc::not_found, "no such device", name_, "plug it in");
  }
  if (is_open()) co_return fail(Errc::busy, "already open", name_);
  input_.open();
  co_return Result<void>();
}

Task<Result<void>> MemoryLink::write(std::string_view bytes, Instant) {
  if (!is_open()) co_return fail(Errc::link_lost, "the link is closed", name_, "check cable and power");
  send(bytes);
  if (!is_open()) co_return fail(Errc::link_lost, "the device was unplugged", name_, "check cable and power");
  co_return Result<void>();
}

Task<Result<std::size_t>> MemoryLink::read(std::span<char> into, Instant deadline) {
  return input_.read(into, deadline, name_);
}

bool MemoryLink::urgent(std::string_view bytes) noexcept {
  if (!is_open()) return false;
  try {
    send(bytes);
  } catch (...) {
    return false;
  }
  return is_open();
}

void MemoryLink::close() noexcept {
  deliveries_.clear();
  delivery_timer_.cancel();
  input_.close();
}

void MemoryLink::unplug(Instant until) {
  unplugged_until_ = until;
  close();
}

void MemoryLink::send(std::string_view bytes) {
  if (tap) tap(name_, true, bytes, machine_.now());
  if (is_quiet_) {
    device_.receive(bytes, *this);
    return;
  }
  if (happens(plan_.unplug)) {
    unplug(machine_.now() + plan_.unplug_time);
    return;
  }
  if (happens(plan_.drop)) return;
  std::string changed(bytes);
  if (happens(plan_.flip)) flip_one_bit(changed);
  device_.receive(changed, *this);
  if (happens(plan_.duplicate)) device_.receive(changed, *this);
}

void MemoryLink::deliver(std::string_view bytes, Second after) {
  if (!is_open()) return;
  if (!is_quiet_) {
    deliver_faulty(std::string(bytes), after);
  } else if (after <= Second(0.0) && deliveries_.empty()) {
    if (tap) tap(name_, false, bytes, machine_.now());
    input_.append(bytes);
  } else {
    enqueue(std::string(bytes), machine_.now() + after);
  }
}

void MemoryLink::deliver_faulty(std::string bytes, Second after) {
  const Instant now = machine_.now();
  if (happens(plan_.stall)) stalled_until_ = now + plan_.stall_time;
  if (now < stalled_until_ || happens(plan_.drop)) return;
  if (happens(plan_.flip)) flip_one_bit(bytes);
  Instant due = now + after;
  if (happens(plan_.delay)) due = due + plan_.delay_max * draw();
  const int copies = happens(plan_.duplicate) ? 2 : 1;
  const bool is_split = happens(plan_.split) && bytes.size() > 1;
  for (int copy = 0; copy < copies; ++copy) {
    if (is_split) {
      const std::size_t half = bytes.size() / 2;
      enqueue(bytes.substr(0, half), due);
      enqueue(bytes.substr(half), due + Second(0.002));
    } else {
      enqueue(bytes, due);
    }
  }
}

void MemoryLink::enqueue(std::string bytes, Instant due) {
  if (!deliveries_.empty()) due = std::max(due, deliveries_.back().due);
  deliveries_.push_back({due, std::move(bytes)});
  if (deliveries_.size() == 1) arm_delivery();
}

void MemoryLink::arm_delivery() {
  delivery_timer_.set(deliveries_.front().due, [this] { deliver_due(); });
}

void MemoryLink::deliver_due() {
  const Instant now = machine_.now();
  while (!deliveries_.empty() && deliveries_.front().due <= now) {
    if (tap) tap(name_, false, deliveries_.front().bytes, now);
    input_.append(deliveries_.front().bytes);
    deliveries_.pop_front();
  }
  if (!deliveries_.empty()) arm_delivery();
}

void MemoryLink::flip_one_bit(std::string& bytes) {
  if (bytes.empty()) return;
  char& victim = bytes[random_() % bytes.size()];
  victim = static_cast<char>(static_cast<unsigned char>(victim) ^ (1U << (random_() % 8U)));
}

void MemoryLinkFactory::add(const std::string& name, MemoryDevice& device, FaultPlan plan) {
  devices_.insert_or_assign(name, Entry{&device, plan});
}

Result<std::unique_ptr<Link>> MemoryLinkFactory::make(const LinkAddress& address, const SerialSettings&) {
  if (address.kind != LinkAddress::Kind::memory) {
    return fail(Errc::unsupported, "only memory links here", address.text());
  }
  const auto found = devices_.find(address.target);
  if (found == devices_.end()) return fail(Errc::not_found, "no such device", address.text());
  return std::make_unique<MemoryLink>(address.text(), machine_, *found->second.device, found->second.plan);
}

}  // namespace leadwright
