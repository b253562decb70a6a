// SPDX-License-Identifier: Apache-2.0
#include "protocol/scpi.h"

#include <gtest/gtest.h>

#include <array>
#include <limits>
#include <string>

namespace leadwright {
namespace {

void expect_number(std::string_view text, double value) {
  const auto number = read_scpi_number(text);
  ASSERT_TRUE(number) << text;
  EXPECT_FALSE(number->missing) << text;
  EXPECT_DOUBLE_EQ(number->value, value) << text;
}

void expect_missing(std::string_view text) {
  const auto number = read_scpi_number(text);
  ASSERT_TRUE(number) << text;
  EXPECT_TRUE(number->missing) << text;
}

// NR1, NR2 and NR3 are the three numeric answers of IEEE 488.2 (section 8.7.2 to 8.7.4, from memory).
TEST(Scpi, reads_all_three_forms_of_a_number) {
  expect_number("25", 25.0);
  expect_number("12.375", 12.375);
  expect_number("+1.237500E+01", 12.375);
  expect_number("-1.5e-3", -0.0015);
  expect_number("+0", 0.0);
  expect_number(".5", 0.5);
}

// The signs of the same sections, from memory.
TEST(Scpi, reads_all_three_forms_with_either_sign) {
  expect_number("+25", 25.0);
  expect_number("-25", -25.0);
  expect_number("00025", 25.0);
  expect_number("+12.375", 12.375);
  expect_number("-12.375", -12.375);
  expect_number("-1.237500E+01", -12.375);
  expect_number("+1.237500E-01", 0.12375);
}

// Forms that IEEE 488.2 lets a controller send (7.7.2, flexible numbers, from memory) and firmware sends
// back.
TEST(Scpi, reads_numbers_without_all_of_their_digits) {
  expect_number("5.", 5.0);
  expect_number("-.5", -0.5);
  expect_number("1E2", 100.0);
  expect_number("1.0e+2", 100.0);
  expect_number("-0", 0.0);
}

TEST(Scpi, ignores_blanks_and_power_up_noise_around_a_number) {
  expect_number("  12.5\r", 12.5);
  expect_number(std::string_view("\0 7", 3), 7.0);
}

TEST(Scpi, refuses_what_only_begins_like_a_number) {
  for (const char* text :
       {"", " ", "+", "-", "12 V", "1,5", "1.2.3", "0x10", "--3", "+-3", "twelve", "1E400", "e5"}) {
    EXPECT_FALSE(read_scpi_number(text)) << text;
  }
}

// SCPI-1999 volume 1, 7.2.1.4 and 7.2.1.5, from memory; printed so by Atmelfan/scpi-rs.
TEST(Scpi, reads_9_91e37_as_missing) {
  for (const char* text : {"9.91E+37", "9.91E37", "+9.91E37", "9.910000E+37", "-9.91E37"})
    expect_missing(text);
}

TEST(Scpi, reads_infinities_as_missing) {
  expect_missing("9.9E37");
  expect_missing("9.900000E+37");
  expect_missing("+9.9E37");
  expect_missing("-9.9E37");
  expect_missing("-9.9E+37");
}

// The common device-side library prints these words (its utils.c); NINF and INFINITY are SCPI-1999's own
// words for what a controller may send (7.2.1.4 and 7.2.1.5, from memory).
TEST(Scpi, reads_the_words_of_common_firmware_as_missing) {
  for (const char* text : {"INF", "-INF", "+inf", "NAN", "nan", "NINF", "INFINITY", " INF\r", "-nan"}) {
    expect_missing(text);
  }
}

TEST(Scpi, keeps_a_large_number_below_the_special_ones) {
  expect_number("9.8E37", 9.8e37);
}

// SCPI-1999 volume 1, 7.3, from memory: answered as 0 or 1; a number is rounded to an integer first.
TEST(Scpi, reads_booleans_as_digits_or_words) {
  EXPECT_EQ(read_scpi_boolean("1"), true);
  EXPECT_EQ(read_scpi_boolean("0"), false);
  EXPECT_EQ(read_scpi_boolean("+1"), true);
  EXPECT_EQ(read_scpi_boolean("+0"), false);
  EXPECT_EQ(read_scpi_boolean("-1"), true);
  EXPECT_EQ(read_scpi_boolean("0.4"), false);
  EXPECT_EQ(read_scpi_boolean("1.0E+00"), true);
  EXPECT_EQ(read_scpi_boolean("on"), true);
  EXPECT_EQ(read_scpi_boolean("OFF"), false);
  EXPECT_EQ(read_scpi_boolean("ON"), true);
  EXPECT_EQ(read_scpi_boolean(" off\r"), false);
  EXPECT_EQ(read_scpi_boolean("maybe"), std::nullopt);
  EXPECT_EQ(read_scpi_boolean("NAN"), std::nullopt);
  EXPECT_EQ(read_scpi_boolean("9.91E37"), std::nullopt);
  EXPECT_EQ(read_scpi_boolean("ONN"), std::nullopt);
  EXPECT_EQ(read_scpi_boolean(""), std::nullopt);
}

// IEEE 488.2, 8.7.8 (answers, double quotes only) and 7.7.5 (either), from memory.
TEST(Scpi, reads_strings_with_doubled_quotes) {
  EXPECT_EQ(read_scpi_string("\"say \"\"off\"\"\""), "say \"off\"");
  EXPECT_EQ(read_scpi_string("\"\"\"\""), "\"");
  EXPECT_EQ(read_scpi_string("\"\"\"off\"\" said\""), "\"off\" said");
  EXPECT_EQ(read_scpi_string("'it''s 5\"'"), "it's 5\"");
  EXPECT_EQ(read_scpi_string("\"it's\""), "it's");
  EXPECT_EQ(read_scpi_string(" 'plain' "), "plain");
  EXPECT_EQ(read_scpi_string("\"\""), "");
}

TEST(Scpi, refuses_strings_that_do_not_end) {
  EXPECT_EQ(read_scpi_string("\"open"), std::nullopt);
  EXPECT_EQ(read_scpi_string("\"a\"b\""), std::nullopt);
  EXPECT_EQ(read_scpi_string("bare"), std::nullopt);
  EXPECT_EQ(read_scpi_string("\""), std::nullopt);
  EXPECT_EQ(read_scpi_string("\"\"\""), std::nullopt);
  EXPECT_EQ(read_scpi_string("\"a'"), std::nullopt);
}

// The entry is what an outside SCPI device answered to a wrong header (shared notes on instruments, 1).
TEST(Scpi, reads_an_entry_of_the_error_queue) {
  const auto fault = read_scpi_fault("-113,\"Undefined header;VOLT:NONSENSE 3\"");
  ASSERT_TRUE(fault);
  EXPECT_EQ(fault->number, -113);
  EXPECT_EQ(fault->text, "Undefined header;VOLT:NONSENSE 3");
}

TEST(Scpi, reads_an_error_text_with_doubled_quotes_and_separators) {
  const auto fault = read_scpi_fault("-222,\"Data out of range;CURR \"\"9,5\"\"\"\r\n");
  ASSERT_TRUE(fault);
  EXPECT_EQ(fault->number, -222);
  EXPECT_EQ(fault->text, "Data out of range;CURR \"9,5\"");
}

TEST(Scpi, reads_an_empty_error_queue_in_all_its_forms) {
  for (const char* text : {"0,\"No error\"", "+0,\"No error\"", "0", "0,No error"}) {
    const auto fault = read_scpi_fault(text);
    ASSERT_TRUE(fault) << text;
    EXPECT_EQ(fault->number, 0) << text;
  }
}

TEST(Scpi, refuses_an_error_queue_entry_without_a_number) {
  for (const char* text : {"", "\"No error\"", "12.5", "NAN,\"x\"", "no,\"x\""}) {
    EXPECT_FALSE(read_scpi_fault(text)) << text;
  }
}

TEST(Scpi, splits_answers_by_semicolon_and_comma_outside_quotes) {
  std::array<std::string_view, 4> fields;
  ASSERT_EQ(split_scpi_answer("12.5;+1.0E+00, \"a;b,c\"", fields), 3U);
  EXPECT_EQ(fields[0], "12.5");
  EXPECT_EQ(fields[1], "+1.0E+00");
  EXPECT_EQ(fields[2], "\"a;b,c\"");
}

TEST(Scpi, splits_behind_a_doubled_quote) {
  std::array<std::string_view, 3> fields;
  ASSERT_EQ(split_scpi_answer("\"a\"\";b\";'c'',';7", fields), 3U);
  EXPECT_EQ(fields[0], "\"a\"\";b\"");
  EXPECT_EQ(fields[1], "'c'','");
  EXPECT_EQ(fields[2], "7");
}

TEST(Scpi, counts_fields_that_do_not_fit) {
  std::array<std::string_view, 1> fields;
  EXPECT_EQ(split_scpi_answer("1;2;3", fields), 3U);
  EXPECT_EQ(fields[0], "1");
}

TEST(Scpi, sees_a_shorter_answer_as_shorter) {
  std::array<std::string_view, 2> fields;
  EXPECT_EQ(split_scpi_answer("12.5", fields), 1U);
}

TEST(Scpi, reads_the_four_fields_of_an_identity) {
  const auto identity = read_scpi_identity("Maker, model 3 ,SN 1,sim-240\r\n");
  ASSERT_TRUE(identity);
  EXPECT_EQ(identity->maker, "Maker");
  EXPECT_EQ(identity->model, "model 3");
  EXPECT_EQ(identity->serial, "SN 1");
  EXPECT_EQ(identity->firmware, "sim-240");
}

TEST(Scpi, refuses_an_identity_of_another_shape) {
  EXPECT_FALSE(read_scpi_identity("a,b,c"));
  EXPECT_FALSE(read_scpi_identity("a,b,c,d,e"));
  EXPECT_FALSE(read_scpi_identity(""));
}

TEST(Scpi, writes_numbers_with_fixed_decimals) {
  std::array<char, 48> room;
  EXPECT_EQ(write_scpi_number(25.0, 3, room), "25.000");
  EXPECT_EQ(write_scpi_number(0.0005, 2, room), "0.00");
  EXPECT_EQ(write_scpi_number(-12.3456, 1, room), "-12.3");
}

TEST(Scpi, never_writes_minus_zero) {
  std::array<char, 48> room;
  EXPECT_EQ(write_scpi_number(-0.0, 3, room), "0.000");
  EXPECT_EQ(write_scpi_number(-0.0001, 3, room), "0.000");
}

TEST(Scpi, writes_nothing_for_what_is_no_sane_number) {
  std::array<char, 48> room;
  EXPECT_EQ(write_scpi_number(1e31, 3, room), "");
  EXPECT_EQ(write_scpi_number(std::numeric_limits<double>::quiet_NaN(), 3, room), "");
}

}  // namespace
}  // namespace leadwright
