// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/bench_lines.h"

#include <array>
#include <boost/asio/io_context.hpp>
#include <boost/asio/signal_set.hpp>
#include <charconv>
#include <csignal>
#include <filesystem>
#include <fstream>
#include <system_error>
#include <utility>
#include <vector>

#include "daemon/clock/real_clock.h"
#include "tools/benchsim/bench_commands.h"
#include "tools/benchsim/control_socket.h"
#include "tools/benchsim/real_lines.h"

namespace leadwright {

namespace asio = boost::asio;
namespace fs = std::filesystem;

namespace {

constexpr Second byte_time{10.0 / 115200.0};  // 8N1, as in config/profiles/simulated_*.toml
// A pseudo-terminal hands bytes over when the scheduler lets it; a daemon's time-out is far longer.
constexpr Second rtu_silence{0.02};
constexpr int port_max = 65535;
constexpr int unit_max = 247;

/// Written under another name and renamed: whoever finds the file finds all of it, and every line is up.
Result<void> write_bench_time(const fs::path& path, const BenchTime& time) {
  std::array<char, 32> scale{};
  const auto [end, bad] = std::to_chars(scale.data(), scale.data() + scale.size(), time.scale);
  const fs::path draft = path.string() + ".new";
  {
    std::ofstream file(draft);
    file << "# Written by benchsim at each start: the daemon that uses its lines shares its time.\n"
         << "schema = 1\nscale = "
         << std::string_view(scale.data(), static_cast<std::size_t>(end - scale.data()))
         << "\nmachine_zero_ns = " << time.machine_zero_ns << "\nutc_zero = \"" << time.utc_zero.rfc3339()
         << "\"\n";
    file.flush();
    if (!file) return fail(Errc::io, "can't write bench time", path.string());
  }
  std::error_code error;
  fs::rename(draft, path, error);
  if (error) return fail(Errc::io, "can't write bench time: " + error.message(), path.string());
  return {};
}

struct Lines {
  std::vector<std::unique_ptr<PtyLine>> ptys;
  std::vector<std::unique_ptr<TcpLine>> ports;
};

/// Nothing if every unit of a shared line has a number that Modbus knows.
Result<void> check_units(const SimBench& bench) {
  for (const std::string& name : bench.instrument_names()) {
    if (bench.address(name)->unit <= unit_max) continue;
    return fail(Errc::bad_input, "more than 247 units on one Modbus line", bench.address(name)->line,
                "have fewer places, or lines of their own");
  }
  return {};
}

Result<void> open_lines(const BenchLinesOptions& options, asio::io_context& context, Clock& machine,
                        SimBench& bench, Lines& lines) {
  const bool has_ports = options.tcp || options.tcp_port_base > 0;
  const fs::path list_file = fs::path(options.state) / "ports.txt";
  std::ofstream list;
  if (has_ports) list.open(list_file);
  int port = options.tcp_port_base;
  for (const auto& line : bench.lines()) {
    const SimLine::Speech speech = line->speech();
    if (speech != SimLine::Speech::modbus_tcp) {
      auto& pty = lines.ptys.emplace_back(
          std::make_unique<PtyLine>(context, machine, *line, options.bench.ideal ? Second(0.0) : byte_time));
      if (auto opened = pty->open(fs::path(options.state) / "lines" / line->name()); !opened) return opened;
    }
    if (has_ports && speech != SimLine::Speech::modbus_rtu) {
      auto& tcp = lines.ports.emplace_back(std::make_unique<TcpLine>(context, machine, *line));
      if (port > port_max) {
        return fail(Errc::bad_input, "more lines than ports up to 65535", "--tcp-port-base",
                    "begin lower, or use --tcp");
      }
      if (auto opened = tcp->open(port); !opened) return opened;
      if (port > 0) ++port;
      list << line->name() << ' ' << tcp->port() << '\n';
    }
  }
  list.flush();
  if (has_ports && !list) return fail(Errc::io, "can't write the ports", list_file.string());
  return {};
}

}  // namespace

Result<void> serve_bench(const BenchLinesOptions& options, const std::function<void()>& ready) {
  std::error_code error;
  fs::create_directories(fs::path(options.state) / "lines", error);
  if (error) return fail(Errc::io, "can't make the folder: " + error.message(), options.state);
  asio::io_context context(1);
  AsioLoop loop(context);
  RealClock machine(loop);
  const Utc now(machine.utc().ns() / 1'000'000'000 * 1'000'000'000);
  const BenchTime time{options.scale, machine.now().ns(), now};
  ScaledClock bench_clock(loop, machine, time);
  SimBenchOptions bench_options = options.bench;
  bench_options.rtu_silence = rtu_silence;
  SimBench bench(bench_options, bench_clock);
  if (auto checked = check_units(bench); !checked) return checked;
  for (const std::string& sentence : options.wiring) {
    if (auto wired = bench.wire(sentence); !wired) return wired;
  }

  auto control = ControlSocket::open(context, options.state,
                                     [&bench](std::string_view line) { return bench_command(bench, line); });
  if (!control) return pass(control);
  Lines lines;
  if (auto opened = open_lines(options, context, machine, bench, lines); !opened) return opened;
  const fs::path time_file = fs::path(options.state) / "bench_time.toml";
  if (auto written = write_bench_time(time_file, time); !written) return written;

  std::signal(SIGPIPE, SIG_IGN);
  asio::signal_set signals(context, SIGINT, SIGTERM);
  signals.async_wait([&context](const boost::system::error_code&, int) { context.stop(); });
  if (ready) ready();
  context.run();
  fs::remove(time_file, error);
  fs::remove(fs::path(options.state) / "ports.txt", error);
  return {};
}

}  // namespace leadwright
