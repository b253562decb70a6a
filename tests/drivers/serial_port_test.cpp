// SPDX-License-Identifier: Apache-2.0
// Settings of serial ports, and ports that come and go, as far as pseudo-terminals show them: they have flow
// control by bytes, and no modem lines, RS-485 or latency.
#include "drivers/serial_port.h"

#include <gmock/gmock.h>
#include <sys/ioctl.h>
#include <termios.h>

#include <filesystem>

#include "one_thread.h"
#include "pseudo_terminal.h"

namespace leadwright {
namespace {

using testing::HasSubstr;
using Flow = SerialSettings::Flow;

struct SerialPortTest : OneThread {
  PseudoTerminal terminal;

  std::unique_ptr<Link> make_with(const SerialSettings& settings) {
    return std::move(factory.make({LinkAddress::Kind::serial, terminal.path()}, settings).value());
  }
  termios line() const {
    const Descriptor other(::open(terminal.path().c_str(), O_RDWR | O_NOCTTY | O_CLOEXEC));
    termios result{};
    EXPECT_EQ(::tcgetattr(other.number(), &result), 0);
    return result;
  }
};

TEST_F(SerialPortTest, sets_the_flow_control_that_the_profile_names_and_no_other) {
  struct {
    Flow flow;
    tcflag_t by_lines;
    tcflag_t by_bytes;
  } const cases[] = {{Flow::none, 0, 0}, {Flow::rts_cts, CRTSCTS, 0}, {Flow::xon_xoff, 0, IXON | IXOFF}};
  for (const auto& [flow, by_lines, by_bytes] : cases) {
    SerialSettings settings;
    settings.flow = flow;
    const auto link = make_with(settings);
    ASSERT_TRUE(run(link->open(soon())));
    EXPECT_EQ(line().c_cflag & CRTSCTS, by_lines);
    EXPECT_EQ(line().c_iflag & (IXON | IXOFF | IXANY), by_bytes);
  }
}

TEST_F(SerialPortTest, holds_its_bytes_from_xoff_to_xon_the_urgent_ones_too) {
  SerialSettings settings;
  settings.flow = Flow::xon_xoff;
  const auto link = make_with(settings);
  ASSERT_TRUE(run(link->open(soon())));
  give(terminal.master.number(), "a\x13");
  EXPECT_EQ(read(*link), "a") << "XOFF is not data";
  std::optional<Result<void>> result;
  const Job job(loop, keep(link->write("CURR 5\n", soon()), result));
  EXPECT_FALSE(result) << "the instrument said stop";
  EXPECT_FALSE(link->urgent("INP OFF\n")) << "whoever switches off must hear that nothing went out";
  give(terminal.master.number(), "\x11");
  run_until([&result] { return result.has_value(); });
  ASSERT_TRUE(*result);
  EXPECT_EQ(take(terminal.master.number()), "CURR 5\n");
}

TEST_F(SerialPortTest, carries_xoff_as_data_without_flow_control) {
  const auto link = make_with({});
  ASSERT_TRUE(run(link->open(soon())));
  give(terminal.master.number(), "\x13");
  EXPECT_EQ(read(*link), "\x13");
  ASSERT_TRUE(run(link->write("CURR 5\n", soon())));
  EXPECT_EQ(take(terminal.master.number()), "CURR 5\n");
}

TEST_F(SerialPortTest, asks_a_pseudo_terminal_for_no_modem_lines_and_takes_it_without_low_latency) {
  SerialSettings settings;
  settings.dtr = false;
  settings.rts = false;
  settings.low_latency = true;
  const auto link = make_with(settings);
  const Result<void> opened = run(link->open(soon()));
  EXPECT_TRUE(opened) << opened.error().line();
}

TEST_F(SerialPortTest, says_that_a_port_without_rs485_must_be_used_without_the_key) {
  SerialSettings settings;
  settings.rs485 = true;
  const auto link = make_with(settings);
  const Result<void> opened = run(link->open(soon()));
  ASSERT_FALSE(opened);
  EXPECT_EQ(opened.error().code, Errc::unsupported);
  EXPECT_THAT(opened.error().mend, HasSubstr("leave rs485 out"));
  EXPECT_THAT(opened.error().mend, HasSubstr("USB adapters switch by themselves"));
  EXPECT_FALSE(link->is_open());
}

TEST_F(SerialPortTest, works_under_the_same_name_after_the_adapter_was_plugged_in_again) {
  const std::filesystem::path name =
      std::filesystem::path(testing::TempDir()) / ("leadwright-port-" + std::to_string(::getpid()));
  std::filesystem::remove(name);
  std::filesystem::create_symlink(terminal.path(), name);
  const auto link = make("serial:" + name.string());
  ASSERT_TRUE(run(link->open(soon())));
  terminal.master.close();
  EXPECT_THAT(read(*link), HasSubstr("closed"));
  EXPECT_FALSE(link->is_open());

  std::filesystem::remove(name);
  const Result<void> absent = run(link->open(soon()));
  ASSERT_FALSE(absent);
  EXPECT_EQ(absent.error().code, Errc::not_found);

  const PseudoTerminal again;
  std::filesystem::create_symlink(again.path(), name);
  ASSERT_TRUE(run(link->open(soon())));
  std::filesystem::remove(name);
  ASSERT_TRUE(run(link->write("*IDN?\n", soon())));
  EXPECT_EQ(take(again.master.number()), "*IDN?\n");
  give(again.master.number(), "a,b,c,d\n");
  EXPECT_EQ(read(*link), "a,b,c,d\n");
}

TEST(ModemLines, are_raised_unless_the_profile_lowers_them) {
  SerialSettings settings;
  EXPECT_EQ(modem_lines(settings).raise, TIOCM_DTR | TIOCM_RTS);
  EXPECT_EQ(modem_lines(settings).lower, 0);
  settings.dtr = false;
  EXPECT_EQ(modem_lines(settings).raise, TIOCM_RTS);
  EXPECT_EQ(modem_lines(settings).lower, TIOCM_DTR);
  settings.rts = false;
  EXPECT_EQ(modem_lines(settings).raise, 0);
  EXPECT_EQ(modem_lines(settings).lower, TIOCM_DTR | TIOCM_RTS);
}

TEST(ModemLines, leave_rts_to_flow_control_and_to_rs485) {
  SerialSettings by_flow;
  by_flow.flow = Flow::rts_cts;
  by_flow.rts = false;
  SerialSettings by_direction;
  by_direction.rs485 = true;
  for (const SerialSettings& settings : {by_flow, by_direction}) {
    EXPECT_EQ(modem_lines(settings).raise, TIOCM_DTR);
    EXPECT_EQ(modem_lines(settings).lower, 0);
  }
}

}  // namespace
}  // namespace leadwright
