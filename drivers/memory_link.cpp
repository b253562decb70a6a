// SPDX-License-Identifier: Apache-2.0
#include "drivers/memory_link.h"

#include <algorithm>

namespace leadwright {

bool FaultPlan::is_quiet() const {
  return std::max({drop, flip, duplicate, delay, split, stall, unplug}) <= 0.0;
}

MemoryLink::MemoryLink(std::string name, Clock& machine, MemoryDevice& device, FaultPlan plan,
                       std::shared_ptr<Cable> cable)
    : MemoryLink(std::move(name), machine, device, std::make_shared<LinkFaults>(LinkFaults{plan, {}}),
                 std::move(cable)) {}

MemoryLink::MemoryLink(std::string name, Clock& machine, MemoryDevice& device,
                       std::shared_ptr<LinkFaults> faults, std::shared_ptr<Cable> cable)
    : name_(std::move(name)),
      machine_(machine),
      device_(device),
      faults_(std::move(faults)),
      cable_(cable ? std::move(cable) : std::make_shared<Cable>()),
      random_(faults_->plan.seed),
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

bool MemoryLink::happens(LinkFaults::Kind kind, double probability) {
  if (probability <= 0.0 || draw() >= probability) return false;
  ++faults_->done[kind];
  return true;
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
  const FaultPlan& plan = faults_->plan;
  if (plan.echo) deliveries_.send_as_is(bytes, machine_.now());
  if (plan.is_quiet() && cable_->is_quiet()) {
    device_.receive(bytes, *this);
    return;
  }
  if (happens(LinkFaults::unplug, plan.unplug)) {
    unplug(machine_.now() + plan.unplug_time);
    return;
  }
  if (happens(LinkFaults::drop, plan.drop)) return;
  std::string changed(bytes);
  if (happens(LinkFaults::flip, plan.flip)) flip_one_bit(changed);
  pass_on(changed);
  if (happens(LinkFaults::duplicate, plan.duplicate)) pass_on(changed);
}

void MemoryLink::pass_on(std::string_view bytes) {
  sent_.clear();
  cable_->pass(bytes, true, sent_);
  for (const Cable::Piece& piece : sent_) device_.receive(piece.bytes, *this);
}

void MemoryLink::deliver(std::string_view bytes, Second after) {
  if (!is_open()) return;
  if (faults_->plan.is_quiet()) {
    deliveries_.send(bytes, after);
  } else {
    deliver_faulty(std::string(bytes), after);
  }
}

void MemoryLink::deliver_faulty(std::string bytes, Second after) {
  const FaultPlan& plan = faults_->plan;
  const Instant now = machine_.now();
  if (happens(LinkFaults::stall, plan.stall)) stalled_until_ = now + plan.stall_time;
  if (now < stalled_until_ || happens(LinkFaults::drop, plan.drop)) return;
  if (happens(LinkFaults::flip, plan.flip)) flip_one_bit(bytes);
  if (happens(LinkFaults::delay, plan.delay)) after = after + plan.delay_max * draw();
  const int copies = happens(LinkFaults::duplicate, plan.duplicate) ? 2 : 1;
  const bool is_split = happens(LinkFaults::split, plan.split) && bytes.size() > 1;
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
  devices_.insert_or_assign(
      name, Entry{&device, std::make_shared<LinkFaults>(LinkFaults{plan, {}}), std::move(cable)});
}

Cable* MemoryLinkFactory::cable(const std::string& name) {
  const auto found = devices_.find(name);
  return found == devices_.end() ? nullptr : found->second.cable.get();
}

void MemoryLinkFactory::change_plans(const FaultPlan& plan) {
  for (auto& [name, entry] : devices_) entry.faults->plan = plan;
}

std::array<std::uint64_t, LinkFaults::kinds> MemoryLinkFactory::faults_done() const {
  std::array<std::uint64_t, LinkFaults::kinds> sum{};
  for (const auto& [name, entry] : devices_) {
    for (std::size_t kind = 0; kind < LinkFaults::kinds; ++kind) sum[kind] += entry.faults->done[kind];
  }
  return sum;
}

Result<std::unique_ptr<Link>> MemoryLinkFactory::make(const LinkAddress& address, const SerialSettings&) {
  if (address.kind != LinkAddress::Kind::memory) {
    return fail(Errc::unsupported, "only memory links here", address.text());
  }
  const auto found = devices_.find(address.target);
  if (found == devices_.end()) return fail(Errc::not_found, "no such device", address.text());
  const Entry& entry = found->second;
  return std::make_unique<MemoryLink>(address.text(), machine_, *entry.device, entry.faults, entry.cable);
}

}  // namespace leadwright
