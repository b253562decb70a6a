// SPDX-License-Identifier: Apache-2.0
#include "drivers/memory_link.h"

#include <algorithm>

namespace leadwright {

bool FaultPlan::is_quiet() const {
  return std::max({drop, flip, duplicate, delay, split, stall, unplug}) <= 0.0;
}

MemoryLink::MemoryLink(std::string name, Clock& machine, MemoryDevice& device, FaultPlan plan,
                       std::shared_ptr<Cable> cable)
    : name_(std::move(name)),
      machine_(machine),
      device_(device),
      plan_(plan),
      is_quiet_(plan.is_quiet()),
      cable_(cable ? std::move(cable) : std::make_shared<Cable>()),
      random_(plan.seed),
      input_(machine),
      deliveries_(machine, *cable_, [this](std::string_view bytes) { arrived(bytes); }) {
  cable_->add(*this);
}

MemoryLink::~MemoryLink() {
  cable_->remove(*this);
}

// std::uniform_real_distribution may differ between libraries; the same seed must give the same world.
double MemoryLink::draw() {
  return static_cast<double>(random_() >> 11U) * 0x1.0p-53;
}

bool MemoryLink::happens(double probability) {
  return probability > 0.0 && draw() < probability;
}

Task<Result<void>> MemoryLink::open(Instant) {
  if (cable_->is_out(machine_.now())) {
    co_return fail(Errc::not_found, "no such device", name_, "plug it in");
  }
  if (is_open()) co_return fail(Errc::busy, "already open", name_);
  if (cable_->is_taken()) {
    co_return fail(Errc::busy, "this port is open in another program", name_,
                   "end the program that has it open");
  }
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
  deliveries_.stop();
  input_.close();
}

void MemoryLink::send(std::string_view bytes) {
  if (tap) tap(name_, true, bytes, machine_.now());
  if (plan_.echo) deliveries_.send_as_is(bytes, machine_.now());
  if (is_quiet_ && cable_->is_quiet()) {
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
  pass_on(changed);
  if (happens(plan_.duplicate)) pass_on(changed);
}

void MemoryLink::pass_on(std::string_view bytes) {
  sent_.clear();
  cable_->pass(bytes, true, sent_);
  for (const Cable::Piece& piece : sent_) device_.receive(piece.bytes, *this);
}

void MemoryLink::deliver(std::string_view bytes, Second after) {
  if (!is_open()) return;
  if (is_quiet_) {
    deliveries_.send(bytes, after);
  } else {
    deliver_faulty(std::string(bytes), after);
  }
}

void MemoryLink::deliver_faulty(std::string bytes, Second after) {
  const Instant now = machine_.now();
  if (happens(plan_.stall)) stalled_until_ = now + plan_.stall_time;
  if (now < stalled_until_ || happens(plan_.drop)) return;
  if (happens(plan_.flip)) flip_one_bit(bytes);
  if (happens(plan_.delay)) after = after + plan_.delay_max * draw();
  const int copies = happens(plan_.duplicate) ? 2 : 1;
  const bool is_split = happens(plan_.split) && bytes.size() > 1;
  for (int copy = 0; copy < copies; ++copy) {
    if (is_split) {
      const std::size_t half = bytes.size() / 2;
      deliveries_.send(std::string_view(bytes).substr(0, half), after);
      deliveries_.send(std::string_view(bytes).substr(half), after + Second(0.002));
    } else {
      deliveries_.send(bytes, after);
    }
  }
}

void MemoryLink::arrived(std::string_view bytes) {
  if (tap) tap(name_, false, bytes, machine_.now());
  input_.append(bytes);
}

void MemoryLink::flip_one_bit(std::string& bytes) {
  if (bytes.empty()) return;
  char& victim = bytes[random_() % bytes.size()];
  victim = static_cast<char>(static_cast<unsigned char>(victim) ^ (1U << (random_() % 8U)));
}

void MemoryLinkFactory::add(const std::string& name, MemoryDevice& device, FaultPlan plan,
                            std::shared_ptr<Cable> cable) {
  if (!cable) cable = std::make_shared<Cable>();
  devices_.insert_or_assign(name, Entry{&device, plan, std::move(cable)});
}

Cable* MemoryLinkFactory::cable(const std::string& name) {
  const auto found = devices_.find(name);
  return found == devices_.end() ? nullptr : found->second.cable.get();
}

Result<std::unique_ptr<Link>> MemoryLinkFactory::make(const LinkAddress& address, const SerialSettings&) {
  if (address.kind != LinkAddress::Kind::memory) {
    return fail(Errc::unsupported, "only memory links here", address.text());
  }
  const auto found = devices_.find(address.target);
  if (found == devices_.end()) return fail(Errc::not_found, "no such device", address.text());
  const Entry& entry = found->second;
  return std::make_unique<MemoryLink>(address.text(), machine_, *entry.device, entry.plan, entry.cable);
}

}  // namespace leadwright
