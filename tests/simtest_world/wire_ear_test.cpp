// SPDX-License-Identifier: Apache-2.0
// What the bytes of a link mean, as the promises hear it.
#include "tools/simtest_world/wire_ear.h"

#include <gtest/gtest.h>

#include "protocol/modbus_frames.h"

namespace leadwright {
namespace {

Instant second(double at) {
  return Instant() + Second(at);
}

std::string frame(std::string text) {
  const std::uint16_t check = modbus_crc(text);
  text.push_back(static_cast<char>(check & 0xFFU));
  text.push_back(static_cast<char>(check >> 8U));
  return text;
}

constexpr const char* ask_sample = "*ESE 7;MEAS:VOLT?;:MEAS:CURR?;*ESE?\n";

TEST(WireEar, takes_the_middle_of_a_whole_exchange_for_the_time_of_a_sample) {
  WireEar ear(WireEar::Kind::scpi);
  ear.hear(true, ask_sample, second(10.0));
  ear.hear(false, "12.6", second(10.1));
  EXPECT_EQ(ear.good_at(), WireEar::long_ago);
  ear.hear(false, "12;25.001;7\n", second(10.2));
  EXPECT_EQ(ear.good_at(), second(10.1));
}

TEST(WireEar, knows_an_answer_to_an_older_question_and_a_number_that_was_not_measured) {
  WireEar ear(WireEar::Kind::scpi);
  ear.hear(true, ask_sample, second(10.0));
  ear.hear(false, "12.612;25.001;6\n", second(10.1));
  ear.hear(false, "9.91E37;25.001;7\n", second(10.1));
  EXPECT_EQ(ear.good_at(), WireEar::long_ago);
}

TEST(WireEar, is_proved_by_off_and_a_reading_back_after_it_not_before) {
  WireEar ear(WireEar::Kind::scpi);
  ear.hear(true, "*ESE 8;INP?;*ESE?\n", second(1.0));
  ear.hear(false, "0;8\n", second(1.1));
  EXPECT_FALSE(ear.is_proved());
  ear.hear(true, "INP OFF\n", second(2.0));
  EXPECT_FALSE(ear.is_proved());
  ear.hear(true, "*ESE 9;INP?;*ESE?\n", second(2.1));
  ear.hear(false, "1;9\n", second(2.2));
  EXPECT_FALSE(ear.is_proved());
  ear.hear(true, "*ESE 9;INP?;*ESE?\n", second(2.3));
  ear.hear(false, "0;9\n", second(2.4));
  EXPECT_TRUE(ear.is_proved());
  ear.daemon_began();
  EXPECT_FALSE(ear.is_proved());
}

TEST(WireEar, reads_the_frames_of_a_load_and_refuses_one_with_a_wrong_check) {
  WireEar ear(WireEar::Kind::modbus);
  const std::string ask = frame(std::string("\x01\x04\x00\x64\x00\x04", 6));
  // 12.5 V and 25 A.
  std::string answer = frame(std::string("\x01\x04\x08\x41\x48\x00\x00\x41\xC8\x00\x00", 11));
  ear.hear(true, ask, second(1.0));
  answer[4] ^= 1;
  ear.hear(false, answer, second(1.2));
  EXPECT_EQ(ear.good_at(), WireEar::long_ago);
  answer[4] ^= 1;
  ear.hear(true, ask, second(2.0));
  ear.hear(false, answer, second(2.2));
  EXPECT_EQ(ear.good_at(), second(2.1));
}

TEST(WireEar, hears_every_contact_of_a_box_and_only_all_of_them_off) {
  const auto box = WireEar::Kind::relay_box;
  EXPECT_TRUE(WireEar::switches_on(box, frame(std::string("\x01\x05\x00\x03\xFF\x00", 6))));
  EXPECT_FALSE(WireEar::switches_on(box, frame(std::string("\x01\x05\x00\x03\x00\x00", 6))));
  EXPECT_FALSE(WireEar::switches_off(box, frame(std::string("\x01\x05\x00\x03\x00\x00", 6))));
  EXPECT_TRUE(WireEar::switches_off(box, frame(std::string("\x01\x0F\x00\x00\x00\x08\x01\x00", 8))));
}

}  // namespace
}  // namespace leadwright
