// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/bench_lines.h"

#include <fcntl.h>
#include <stdlib.h>
#include <termios.h>
#include <unistd.h>

#include <array>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/signal_set.hpp>
#include <cerrno>
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
#include "tools/benchsim/wire.h"

namespace leadwright {

namespace asio = boost::asio;
namespace fs = std::filesystem;
using Tcp = asio::ip::tcp;

namespace {

constexpr double bits_per_byte = 10.0;  // 8N1
constexpr double wire_baud = 115200.0;  // as in config/profiles/simulated_*.toml

tl::unexpected<Error> failed(const std::string& what, const std::string& where) {
  return fail(Errc::io, what + ": " + std::error_code(errno, std::generic_category()).message(), where);
}

/// A pseudo-terminal in raw mode. The instrument's side is kept open here as well, so that the line outlives
/// every daemon: without it, the last close would hang the line up.
class PtyLine {
 public:
  PtyLine(asio::io_context& context, Clock& machine, SimInstrument& instrument, Second byte_time)
      : wire_(context, machine, instrument, byte_time) {}
  PtyLine(const PtyLine&) = delete;
  PtyLine& operator=(const PtyLine&) = delete;
  ~PtyLine() {
    if (kept_open_ >= 0) ::close(kept_open_);
    std::error_code ignored;
    if (!link_.empty()) fs::remove(link_, ignored);
  }

  Result<void> open(const fs::path& link) {
    const int master = ::posix_openpt(O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC);
    if (master < 0) return failed("can't make a pseudo-terminal", link.string());
    wire_.serve(master, {});
    std::array<char, 128> name{};
    if (::grantpt(master) != 0 || ::unlockpt(master) != 0 ||
        ::ptsname_r(master, name.data(), name.size()) != 0) {
      return failed("can't unlock a pseudo-terminal", link.string());
    }
    kept_open_ = ::open(name.data(), O_RDWR | O_NOCTTY | O_CLOEXEC);
    if (kept_open_ < 0) return failed("can't open a pseudo-terminal", link.string());
    termios raw{};
    if (::tcgetattr(kept_open_, &raw) != 0) return failed("can't read the line's settings", link.string());
    ::cfmakeraw(&raw);
    raw.c_cflag |= CREAD | CLOCAL;
    if (::tcsetattr(kept_open_, TCSANOW, &raw) != 0) return failed("can't make the line raw", link.string());
    std::error_code error;
    fs::remove(link, error);
    fs::create_symlink(name.data(), link, error);
    if (error) return fail(Errc::io, "can't name the line: " + error.message(), link.string());
    link_ = link;
    return {};
  }

 private:
  Wire wire_;
  int kept_open_ = -1;
  fs::path link_;
};

/// A TCP port that serves one client at a time, as many instruments do.
class TcpLine {
 public:
  TcpLine(asio::io_context& context, Clock& machine, SimInstrument& instrument)
      : acceptor_(context), wire_(context, machine, instrument, Second(0.0)) {}

  Result<void> open(int port) {
    boost::system::error_code error;
    acceptor_.open(Tcp::v4(), error);
    acceptor_.set_option(asio::socket_base::reuse_address(true), error);
    acceptor_.bind({asio::ip::address_v4::loopback(), static_cast<unsigned short>(port)}, error);
    if (!error) acceptor_.listen(1, error);
    if (error)
      return fail(Errc::busy, "can't listen: " + error.message(), "127.0.0.1:" + std::to_string(port));
    accept();
    return {};
  }

 private:
  void accept() {
    acceptor_.async_accept([this](const boost::system::error_code& error, Tcp::socket socket) {
      if (error) return;
      boost::system::error_code ignored;
      socket.set_option(Tcp::no_delay(true), ignored);
      wire_.serve(socket.release(), [this] { accept(); });
    });
  }

  Tcp::acceptor acceptor_;
  Wire wire_;
};

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

Result<void> open_lines(const BenchLinesOptions& options, asio::io_context& context, Clock& machine,
                        SimBench& bench, Lines& lines) {
  const Second byte_time(options.bench.ideal ? 0.0 : bits_per_byte / wire_baud);
  int port = options.tcp_port_base;
  for (const std::string& name : bench.instrument_names()) {
    SimInstrument& instrument = *bench.instrument(name);
    auto& pty = lines.ptys.emplace_back(std::make_unique<PtyLine>(context, machine, instrument, byte_time));
    if (auto opened = pty->open(fs::path(options.state) / "lines" / name); !opened) return opened;
    if (port == 0) continue;
    auto& tcp = lines.ports.emplace_back(std::make_unique<TcpLine>(context, machine, instrument));
    if (auto opened = tcp->open(port++); !opened) return opened;
  }
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
  SimBench bench(options.bench, bench_clock);

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
  return {};
}

}  // namespace leadwright
