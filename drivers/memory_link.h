// SPDX-License-Identifier: Apache-2.0
// A link inside this process, to a simulated device, with faults drawn from a seed (FaultPlan) and faults
// placed by a test (its cable). For: tests, rehearsals, benchmarks. Owned by an instrument; device and cable
// outlive it. Thread: control. Without faults and delay a write reaches the device, and its answer the
// reader, before write() returns. Read next: cable.h.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <memory>
#include <random>
#include <string>
#include <string_view>
#include <vector>

#include "drivers/cable.h"
#include "drivers/deliveries.h"
#include "drivers/link.h"
#include "drivers/link_input.h"

namespace leadwright {

/// The device's end of a memory link.
class MemoryPort {
 public:
  virtual ~MemoryPort() = default;
  /// Bytes to the daemon, `after` this time on the link's clock. Never overtakes earlier bytes.
  virtual void deliver(std::string_view bytes, Second after = Second(0.0)) = 0;
};

/// A simulated device. Never calls back into the link but through `port`.
class MemoryDevice {
 public:
  virtual ~MemoryDevice() = default;
  /// Bytes from the daemon, as they were written: a message may come in pieces.
  virtual void receive(std::string_view bytes, MemoryPort& port) = 0;
};

/// Probabilities of what can go wrong with one write or one delivery; everything is off by default.
struct FaultPlan {
  std::uint64_t seed = 1;
  double drop = 0.0;       ///< the bytes are lost
  double flip = 0.0;       ///< one bit of them changes
  double duplicate = 0.0;  ///< they come twice
  double delay = 0.0;      ///< an answer is late by up to delay_max
  double split = 0.0;      ///< an answer comes in two pieces
  double stall = 0.0;      ///< an answer, and all that follow for stall_time, are lost
  double unplug = 0.0;     ///< the link is gone, and for unplug_time can't be opened
  Second delay_max{1.0};
  Second stall_time{2.0};
  Second unplug_time{5.0};
  bool echo = false;  ///< not a fault: the adapter hears what it sends, as two-wire RS-485 adapters may
  bool is_quiet() const;
};

/// What links were told to do wrong, and how often each was done. Shared by the links of one name and whoever
/// changes the plan while they live.
struct LinkFaults {
  enum Kind { drop, flip, duplicate, delay, split, stall, unplug };
  static constexpr std::size_t kinds = 7;
  static constexpr std::array<const char*, kinds> words{"drop",  "flip",  "duplicate", "delay",
                                                        "split", "stall", "unplug"};
  FaultPlan plan;
  std::array<std::uint64_t, kinds> done{};
};

class MemoryLink final : public Link, private MemoryPort, private Cable::User {
 public:
  /// Without `cable` it has one of its own.
  MemoryLink(std::string name, Clock& machine, MemoryDevice& device, FaultPlan plan = {},
             std::shared_ptr<Cable> cable = nullptr);
  /// `faults` may change while the link lives; its seed counts now.
  MemoryLink(std::string name, Clock& machine, MemoryDevice& device, std::shared_ptr<LinkFaults> faults,
             std::shared_ptr<Cable> cable);
  MemoryLink(const MemoryLink&) = delete;
  MemoryLink& operator=(const MemoryLink&) = delete;
  ~MemoryLink() override;

  const std::string& name() const override { return name_; }
  Task<Result<void>> open(Instant deadline) override;
  bool is_open() const override { return input_.is_open(); }
  Task<Result<void>> write(std::string_view bytes, Instant deadline) override;
  Task<Result<std::size_t>> read(std::span<char> into, Instant deadline) override;
  void discard_input() override { input_.discard(); }
  bool urgent(std::string_view bytes) noexcept override;
  void close() noexcept override;

  Cable& cable() { return *cable_; }
  /// The cable is pulled; open() fails with not_found until `until`.
  void unplug(Instant until = Instant::never()) { cable_->pull(until); }
  void plug_in() { cable_->put_back(); }

 private:
  void deliver(std::string_view bytes, Second after) override;
  void deliver_faulty(std::string bytes, Second after);
  void pulled() override { close(); }
  void arrived(std::string_view bytes);
  void send(std::string_view bytes);
  void pass_on(std::string_view bytes);
  void flip_one_bit(std::string& bytes);
  bool happens(LinkFaults::Kind kind, double probability);
  double draw();

  std::string name_;
  Clock& machine_;
  MemoryDevice& device_;
  std::shared_ptr<LinkFaults> faults_;
  std::shared_ptr<Cable> cable_;
  std::mt19937_64 random_;
  LinkInput input_;
  Deliveries deliveries_;
  std::vector<Cable::Piece> sent_;
  Instant stalled_until_{INT64_MIN};
};

/// Makes memory links to the devices it was told of.
class MemoryLinkFactory final : public LinkFactory {
 public:
  explicit MemoryLinkFactory(Clock& machine) : machine_(machine) {}
  /// `device` must outlive every link to it. `name` is the target of the address "memory:NAME". Every link of
  /// that name runs over the same cable: `cable`, or one that is made here.
  void add(const std::string& name, MemoryDevice& device, FaultPlan plan = {},
           std::shared_ptr<Cable> cable = nullptr);
  /// Null if there is no device of that name.
  Cable* cable(const std::string& name);
  /// From now on every link behaves by this plan; its seed is not used.
  void change_plans(const FaultPlan& plan);
  /// How often each kind was done so far, by all links.
  std::array<std::uint64_t, LinkFaults::kinds> faults_done() const;
  Result<std::unique_ptr<Link>> make(const LinkAddress& address, const SerialSettings& serial) override;

 private:
  struct Entry {
    MemoryDevice* device;
    std::shared_ptr<LinkFaults> faults;
    std::shared_ptr<Cable> cable;
  };
  Clock& machine_;
  std::map<std::string, Entry> devices_;
};

}  // namespace leadwright
