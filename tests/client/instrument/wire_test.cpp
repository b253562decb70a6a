// SPDX-License-Identifier: Apache-2.0
// What crossed a wire: how it is shown, timed and explained.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tools/client/instrument/latency.h"
#include "tools/client/instrument/wire_fault.h"
#include "tools/client/instrument/wire_log.h"

namespace leadwright {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

Instant at_ms(double ms) {
  return Instant(0) + Second(ms / 1000.0);
}
WirePiece out(std::string bytes, double ms = 0.0) {
  return {true, std::move(bytes), at_ms(ms)};
}
WirePiece in(std::string bytes, double ms = 0.0) {
  return {false, std::move(bytes), at_ms(ms)};
}

TEST(WireLog, shows_text_with_its_line_ends_and_everything_else_as_hexadecimal) {
  EXPECT_EQ(shown_bytes("*IDN?\r\n"), "*IDN?\\r\\n");
  EXPECT_EQ(shown_bytes(std::string("\x01\x03\x00\x00", 4)), "hex 01 03 00 00");
  EXPECT_EQ(shown_bytes(""), "");
  EXPECT_THAT(shown_bytes(std::string(1000, 'x')), HasSubstr("x ... (1000 bytes)"));
  EXPECT_THAT(shown_bytes(std::string(1000, '\xFF')), HasSubstr("FF FF ... (1000 bytes)"));
}

TEST(WireLog, shows_a_piece_with_its_time_and_direction) {
  EXPECT_EQ(shown_piece(out("INP?\n", 12.34), at_ms(2.0)), "     10.3 ms  >  INP?\\n");
  EXPECT_EQ(shown_piece(in("0\n", 12.34), at_ms(2.0)), "     10.3 ms  <  0\\n");
}

TEST(ExchangeTimes, run_from_the_question_to_the_last_piece_of_its_answer) {
  const auto times = exchange_times({out("a", 0), in("1", 3), in("2", 5), out("b", 10), in("3", 11)});
  ASSERT_EQ(times.size(), 2U);
  EXPECT_NEAR(times[0].si(), 0.005, 1e-9);
  EXPECT_NEAR(times[1].si(), 0.001, 1e-9);
}

TEST(ExchangeTimes, leave_out_what_was_not_answered_and_what_was_not_asked) {
  EXPECT_THAT(exchange_times({in("noise", 1), out("a", 2), out("b", 300), in("1", 302)}), testing::SizeIs(1));
  EXPECT_THAT(exchange_times({out("a", 2)}), IsEmpty());
}

TEST(Latency, is_by_nearest_rank) {
  std::vector<Second> times;
  for (int i = 100; i >= 1; --i) times.emplace_back(i / 1000.0);
  const Latency latency = latency_of(times);
  EXPECT_EQ(latency.count, 100U);
  EXPECT_EQ(latency.median, Second(0.050));
  EXPECT_EQ(latency.p99, Second(0.099));
  EXPECT_EQ(latency.longest, Second(0.100));
  EXPECT_EQ(latency_of({}).count, 0U);
  EXPECT_EQ(latency_of({Second(0.2)}).p99, Second(0.2));
}

TEST(Latency, proposes_three_times_the_99th_percentile_in_whole_10_ms_and_never_too_little) {
  const auto proposed = [](double p99) {
    return proposed_timeout({100, Second(p99), Second(p99), Second(p99)}).si();
  };
  EXPECT_NEAR(proposed(0.1), 0.300, 1e-9);
  EXPECT_NEAR(proposed(0.101), 0.310, 1e-9);
  EXPECT_NEAR(proposed(0.0001), 0.050, 1e-9);
}

const LinkAddress serial{LinkAddress::Kind::serial, "/dev/serial/by-id/x"};
const LinkAddress tcp{LinkAddress::Kind::tcp, "192.0.2.7:5025"};
const Error late{Errc::timed_out, "no answer in time", "serial:/dev/serial/by-id/x", ""};

TEST(WireFault, says_what_to_look_at_when_nothing_comes_in) {
  const Error fault = wire_fault(late, {out("*IDN?\n")}, serial, {});
  EXPECT_EQ(fault.code, Errc::timed_out);
  EXPECT_EQ(fault.what, "nothing answers at 9600 8N1");
  EXPECT_EQ(fault.where, "serial:/dev/serial/by-id/x");
  for (const char* hint : {"switched on", "cable", "TX and RX", "--baud 9600"})
    EXPECT_THAT(fault.mend, HasSubstr(hint));
  EXPECT_THAT(wire_fault(late, {out("*IDN?\n")}, tcp, {}).mend, HasSubstr("5025"));
}

TEST(WireFault, blames_speed_or_parity_for_what_is_no_text) {
  const Error fault = wire_fault(late, {out("*IDN?\n"), in("\xF8\x80\x81")}, serial, {});
  EXPECT_EQ(fault.code, Errc::garbled);
  EXPECT_THAT(fault.what, HasSubstr("no text"));
  EXPECT_THAT(fault.mend, HasSubstr("speed or parity"));
  EXPECT_THAT(wire_fault(late, {out("*IDN?\n"), in("\xF8\x80\x81")}, tcp, {}).mend,
              HasSubstr("another protocol"));
}

TEST(WireFault, knows_its_own_words) {
  for (const Errc code : {Errc::timed_out, Errc::garbled, Errc::conflict}) {
    const Error fault =
        wire_fault({code, "x", "", ""}, {out("\n"), out("*IDN?\n"), in("\n*ID"), in("N?\n")}, serial, {});
    EXPECT_THAT(fault.what, HasSubstr("our own words come back"));
    EXPECT_THAT(fault.mend, HasSubstr("joined"));
  }
}

TEST(WireFault, does_not_take_the_answer_to_a_write_for_a_loop) {
  const std::string write = "\x01\x05 switch off";
  const std::string question = "\x01\x04question";
  const Error fault =
      wire_fault(late, {out(write), in(write), out(question)}, serial, {}, DialectKind::modbus);
  EXPECT_THAT(fault.what, HasSubstr("no answer to the question"));
  const Error loop =
      wire_fault(late, {out(write), in(write), out(question), in(question)}, serial, {}, DialectKind::modbus);
  EXPECT_THAT(loop.what, HasSubstr("our own words come back"));
  EXPECT_THAT(loop.mend, HasSubstr("echo = true"));
}

TEST(WireFault, asks_for_the_address_of_a_silent_unit) {
  for (const LinkAddress& address : {serial, tcp}) {
    EXPECT_THAT(wire_fault(late, {out("\x01\x04")}, address, {}, DialectKind::modbus).mend,
                HasSubstr("--unit"));
  }
}

TEST(WireFault, says_that_something_else_answers) {
  const Error fault = wire_fault(late, {out("*IDN?\n"), in("login: ")}, serial, {});
  EXPECT_THAT(fault.what, HasSubstr("something else answers there (login: )"));
}

TEST(WireFault, says_that_a_port_ends_the_connection) {
  const Error fault = wire_fault({Errc::link_lost, "the link is closed", "", ""}, {out("\n")}, tcp, {});
  EXPECT_EQ(fault.code, Errc::link_lost);
  EXPECT_THAT(fault.mend, HasSubstr("hold it"));
}

TEST(WireFault, leaves_an_error_alone_that_says_it_all) {
  const Error busy{Errc::busy, "this port is open in another program", "serial:x", "stop it"};
  EXPECT_EQ(wire_fault(busy, {}, serial, {}).what, busy.what);
  const Error other{Errc::conflict, "wrong instrument", "serial:x", "swap"};
  EXPECT_EQ(wire_fault(other, {out("*IDN?\n"), in("A,B,1,2\n")}, serial, {}).what, other.what);
}

TEST(WireFaults, tell_every_speed_and_blame_what_was_heard) {
  const Error garbled{Errc::garbled, "what comes is no text (hex 80)", "", "try another speed"};
  const Error all = wire_faults({{"9600 8N1", late}, {"19200 8N1", garbled}}, serial);
  EXPECT_EQ(all.what, "9600 8N1: nothing answers; 19200 8N1: what comes is no text (hex 80)");
  EXPECT_EQ(all.code, Errc::garbled);
  EXPECT_EQ(all.mend, "try another speed");
  EXPECT_THAT(wire_faults({{"9600 8N1", late}, {"19200 8N1", late}}, serial).mend, HasSubstr("switched on"));
  EXPECT_EQ(wire_faults({{"9600 8N1", garbled}}, serial).what, garbled.what);
}

TEST(LineSettings, are_written_as_people_write_them) {
  SerialSettings settings;
  settings.baud = 19200;
  settings.parity = SerialSettings::Parity::even;
  settings.bits = 7;
  settings.stop = 2;
  EXPECT_EQ(line_settings(serial, settings), "19200 7E2");
  EXPECT_EQ(line_settings(tcp, settings), "");
}

}  // namespace
}  // namespace leadwright
