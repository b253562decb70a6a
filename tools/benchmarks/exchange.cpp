// SPDX-License-Identifier: Apache-2.0
// Our driver against instruments that answer at once: what an exchange costs the thread that asks, and how
// fast exchanges follow each other.
#include <fmt/format.h>
#include <poll.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <boost/asio/io_context.hpp>
#include <functional>
#include <iostream>

#include "daemon/clock/real_clock.h"
#include "daemon/clock/virtual_clock.h"
#include "drivers/instrument.h"
#include "drivers/system_links.h"
#include "tools/benchmarks/measure.h"
#include "tools/benchmarks/responder.h"
#include "tools/benchmarks/sections.h"

namespace leadwright {

namespace {

constexpr std::size_t warm_up = 100;
constexpr std::size_t rounds = 5;
constexpr Second cpu_aim_memory{5e-6};
constexpr Second cpu_aim_kernel{40e-6};

/// Of several rounds, because a busy machine disturbs some.
class ExchangeCost {
 public:
  explicit ExchangeCost(std::size_t each) : each_(each) {}
  std::size_t exchanges() const { return warm_up + each_ * rounds; }
  /// To be called before each exchange, and after the last.
  void before(std::size_t index) {
    if (index < warm_up || (index - warm_up) % each_ != 0) return;
    const Second cpu = thread_cpu();
    const Instant now = machine_now();
    if (index > warm_up) {
      cpu_.push_back((cpu - cpu_began_) / static_cast<double>(each_));
      wall_.push_back((now - began_) / static_cast<double>(each_));
    }
    cpu_began_ = cpu;
    began_ = now;
  }
  /// Of one exchange, by round, rising.
  std::vector<Second> cpu() const { return sorted(cpu_); }
  std::vector<Second> wall() const { return sorted(wall_); }

 private:
  static std::vector<Second> sorted(std::vector<Second> times) {
    std::ranges::sort(times);
    return times;
  }
  std::size_t each_;
  Second cpu_began_;
  Instant began_;
  std::vector<Second> cpu_;
  std::vector<Second> wall_;
};

void give_up(const Error& error) {
  std::cerr << error.line() << '\n';
  std::exit(1);
}

/// Connects, and samples as fast as the line allows.
Task<void> sample_at_full_rate(Instrument* instrument, ExchangeCost* cost) {
  const Result<void> connected = co_await instrument->connect();
  if (!connected) give_up(connected.error());
  for (std::size_t index = 0; index < cost->exchanges(); ++index) {
    cost->before(index);
    const Result<Reading> reading = co_await instrument->sample();
    if (!reading) give_up(reading.error());
  }
  cost->before(cost->exchanges());
}

Profile profile_at(const std::string& path) {
  auto profile = load_profile(path);
  if (!profile) give_up(profile.error().front());
  return std::move(*profile);
}

Task<void> then(Task<void> first, std::function<void()> second) {
  co_await std::move(first);
  second();
}

ExchangeCost cost_in_memory(const Profile& profile, Canned& canned, std::size_t count) {
  VirtualClock clock;
  CannedDevice device(canned);
  Instrument instrument("bench", std::make_unique<MemoryLink>("memory:bench", clock, device), profile, clock,
                        clock);
  ExchangeCost cost(count);
  const Job job(clock.loop(), sample_at_full_rate(&instrument, &cost));
  clock.run_until([&job] { return job.done(); });
  return cost;
}

ExchangeCost cost_over(LinkAddress::Kind kind, const Profile& profile, Canned& canned, std::size_t count) {
  Responder responder;
  const LinkAddress address = responder.add(kind, canned);
  responder.start();
  boost::asio::io_context context(1);
  AsioLoop loop(context);
  RealClock clock(loop);
  SystemLinkFactory links(loop, clock);
  auto link = links.make(address, profile.link.serial);
  if (!link) give_up(link.error());
  Instrument instrument("bench", std::move(*link), profile, clock, clock, kind);
  ExchangeCost cost(count);
  const auto stop = [&context] { context.stop(); };
  const Job job(loop, then(sample_at_full_rate(&instrument, &cost), stop));
  context.run();
  return cost;
}

/// write() and a blocking read() of messages of the same size, and nothing else, after each pause.
ExchangeCost bare_ping_pong(LinkAddress::Kind kind, std::size_t count, Second pause = {}) {
  constexpr std::string_view question = "*ESE 77;:MEAS:VOLT?;:MEAS:CURR?;*ESE?\n";
  CannedLoad canned;
  Responder responder;
  const LinkAddress address = responder.add(kind, canned);
  responder.start();
  const int descriptor = open_bare(address);
  ExchangeCost cost(count);
  std::array<char, 256> answer{};
  for (std::size_t index = 0; index < cost.exchanges(); ++index) {
    cost.before(index);
    if (pause > Second(0.0)) ::poll(nullptr, 0, static_cast<int>(milliseconds(pause)));
    bool is_whole = ::write(descriptor, question.data(), question.size()) < 0;
    while (!is_whole) {
      const ssize_t size = ::read(descriptor, answer.data(), answer.size());
      is_whole = size <= 0 || answer[static_cast<std::size_t>(size) - 1] == '\n';
    }
  }
  cost.before(cost.exchanges());
  ::close(descriptor);
  return cost;
}

void print_row(const std::string& name, const ExchangeCost& cost, std::optional<Second> aim = {}) {
  const std::vector<Second> cpu = cost.cpu();
  const std::vector<Second> wall = cost.wall();
  const Second median = cpu[rounds / 2];
  const std::string aimed =
      aim ? fmt::format("{:3.0f} us {}", microseconds(*aim), verdict(median.si(), aim->si())) : "";
  std::cout << fmt::format("  {:<29}{:7.2f} us  ({:6.2f} to {:6.2f})   {:<14}{:9.1f} us   {:8.0f}\n", name,
                           microseconds(median), microseconds(cpu.front()), microseconds(cpu.back()), aimed,
                           microseconds(wall[rounds / 2]), 1.0 / wall[rounds / 2].si());
}

using Kind = LinkAddress::Kind;

/// Load and charger with this least time between two messages.
void print_lines(Profile load, Profile charger, Second gap, std::size_t count) {
  load.link.gap = charger.link.gap = gap;
  CannedLoad scpi_on_terminal;
  CannedLoad scpi_on_tcp;
  CannedCharger rtu(CannedCharger::Framing::rtu);
  CannedCharger tcp(CannedCharger::Framing::tcp);
  print_row("SCPI, pseudo-terminal", cost_over(Kind::serial, load, scpi_on_terminal, count), cpu_aim_kernel);
  print_row("SCPI, TCP", cost_over(Kind::tcp, load, scpi_on_tcp, count), cpu_aim_kernel);
  print_row("Modbus RTU, pseudo-terminal", cost_over(Kind::serial, charger, rtu, count), cpu_aim_kernel);
  print_row("Modbus TCP", cost_over(Kind::tcp, charger, tcp, count), cpu_aim_kernel);
  print_row("bare ping-pong, terminal", bare_ping_pong(Kind::serial, count, gap));
  print_row("bare ping-pong, TCP", bare_ping_pong(Kind::tcp, count, gap));
}

}  // namespace

void print_exchanges(const BenchmarkConfig& config) {
  constexpr std::size_t in_memory = 40'000;
  constexpr std::size_t on_a_line = 4'000;
  constexpr std::size_t on_a_gapped_line = 200;
  const Profile load = profile_at(config.profile("simulated_load"));
  const Profile charger = profile_at(config.profile("generic_modbus_charger"));
  std::cout << fmt::format(
      "one combined sample after the other: driver, dialect, line, link; the instrument answers at once. "
      "Median\n"
      "  (least to most) of {} rounds; CPU of the asking thread, in memory with the instrument's own share\n"
      "                                     CPU                         aim                 each  "
      "samples/s\n",
      rounds);
  CannedLoad scpi_here;
  CannedCharger modbus_here(CannedCharger::Framing::rtu);
  print_row("SCPI, memory", cost_in_memory(load, scpi_here, in_memory), cpu_aim_memory);
  print_row("Modbus RTU, memory", cost_in_memory(charger, modbus_here, in_memory), cpu_aim_memory);
  print_lines(load, charger, Second(0.0), on_a_line);
  std::cout << fmt::format(
      "  with the Modbus profile's silence of {:.0f} ms between messages, which lets the core "
      "go cold:\n",
      milliseconds(charger.link.gap));
  print_lines(load, charger, charger.link.gap, on_a_gapped_line);
}

}  // namespace leadwright
