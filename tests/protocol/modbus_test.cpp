// SPDX-License-Identifier: Apache-2.0
#include "protocol/modbus.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <limits>
#include <string>
#include <vector>

#include "tests/protocol/modbus_examples.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

const ModbusExample& example(std::string_view name) {
  for (const ModbusExample& each : modbus_examples()) {
    if (each.name == name) return each;
  }
  throw std::logic_error(std::string("no example ").append(name));
}

std::string read(ModbusSpace space, int at, int count) {
  std::string pdu;
  EXPECT_TRUE(append_modbus_read(pdu, space, at, count));
  return pdu;
}

/// Fails with bad_input and leaves what was there.
template <class Append>
void expect_refused(const Append& append, const char* why) {
  std::string pdu = "kept";
  const Result<void> result = append(pdu);
  ASSERT_FALSE(result) << why;
  EXPECT_EQ(result.error().code, Errc::bad_input) << why;
  EXPECT_FALSE(result.error().what.empty()) << why;
  EXPECT_EQ(pdu, "kept") << why;
}

void expect_error(const Result<void>& result, Errc code, const std::string& why) {
  ASSERT_FALSE(result) << why;
  EXPECT_EQ(result.error().code, code) << why << ": " << result.error().line();
}

// Modbus application protocol V1.1b3, 6.1 to 6.4, from memory.
TEST(Modbus, asks_the_published_questions) {
  EXPECT_EQ(read(ModbusSpace::coil, 0x13, 19), example("read coils").request);
  EXPECT_EQ(read(ModbusSpace::discrete, 0xC4, 22), example("read discretes").request);
  EXPECT_EQ(read(ModbusSpace::holding, 0x6B, 3), example("read holdings").request);
  EXPECT_EQ(read(ModbusSpace::input, 8, 1), example("read inputs").request);
}

// The same, 6.5, 6.6, 6.11, 6.12 and 6.17, from memory; function 23 also in four independent test suites.
TEST(Modbus, writes_the_published_writes) {
  std::string pdu;
  ASSERT_TRUE(append_modbus_write(pdu, ModbusSpace::coil, 0xAC, 1));
  EXPECT_EQ(pdu, example("write coil").request);

  pdu.clear();
  ASSERT_TRUE(append_modbus_write(pdu, ModbusSpace::holding, 1, 3));
  EXPECT_EQ(pdu, example("write holding").request);

  pdu.clear();
  const std::array<bool, 10> bits{true, false, true, true, false, false, true, true, true, false};
  ASSERT_TRUE(append_modbus_write_bits(pdu, 0x13, bits));
  EXPECT_EQ(pdu, example("write coils").request);

  pdu.clear();
  ASSERT_TRUE(append_modbus_write_words(pdu, 1, std::array<std::uint16_t, 2>{0x000A, 0x0102}));
  EXPECT_EQ(pdu, example("write holdings").request);

  pdu.clear();
  ASSERT_TRUE(append_modbus_exchange(pdu, 3, 6, 14, std::array<std::uint16_t, 3>{255, 255, 255}));
  EXPECT_EQ(pdu, example("exchange").request);
}

TEST(Modbus, switches_a_coil_off_with_zero) {
  std::string pdu;
  ASSERT_TRUE(append_modbus_write(pdu, ModbusSpace::coil, 0xAC, 0));
  EXPECT_EQ(pdu, hex("05 00 AC 00 00"));
}

TEST(Modbus, appends_behind_what_is_there) {
  std::string pdu = "kept";
  ASSERT_TRUE(append_modbus_read(pdu, ModbusSpace::input, 8, 1));
  EXPECT_EQ(pdu, "kept" + example("read inputs").request);
}

TEST(Modbus, accepts_every_published_answer) {
  for (const ModbusExample& each : modbus_examples()) {
    if (std::string_view(each.name) == "exception") continue;
    const auto checked = check_modbus_answer(each.request, each.answer);
    EXPECT_TRUE(checked) << each.name << ": " << checked.error().line();
  }
}

// The same specification, 6.3, 6.4 and 6.17: 555, 0, 100; 10; 254, 2765, 1, 3, 13, 255.
TEST(Modbus, reads_the_words_of_the_published_answers) {
  const auto words = [](const std::string& answer) {
    std::vector<int> found;
    for (std::size_t i = 0; i < modbus_words(answer); ++i) found.push_back(modbus_word(answer, i));
    return found;
  };
  EXPECT_EQ(words(example("read holdings").answer), (std::vector<int>{555, 0, 100}));
  EXPECT_EQ(words(example("read inputs").answer), (std::vector<int>{10}));
  EXPECT_EQ(words(example("exchange").answer), (std::vector<int>{254, 2765, 1, 3, 13, 255}));
}

// The same specification, 6.1: CD is 1100 1101, the lowest bit first; 05 holds the last three.
TEST(Modbus, reads_the_bits_of_a_published_answer) {
  const std::string& answer = example("read coils").answer;
  ASSERT_EQ(modbus_bits(answer), 24U);
  std::string bits;
  for (std::size_t i = 0; i < 19; ++i) bits.push_back(modbus_bit(answer, i) ? '1' : '0');
  EXPECT_EQ(bits, "1011001111010110101");
}

// Limits of the same specification, section 6.
TEST(Modbus, asks_for_as_much_as_an_answer_can_hold) {
  EXPECT_EQ(modbus_answer_size(read(ModbusSpace::coil, 0, 2000), hex("01")), 252U);
  EXPECT_EQ(modbus_answer_size(read(ModbusSpace::discrete, 0, 2000), hex("02")), 252U);
  EXPECT_EQ(modbus_answer_size(read(ModbusSpace::holding, 0, 125), hex("03")), 252U);
  EXPECT_EQ(modbus_answer_size(read(ModbusSpace::input, 0, 125), hex("04")), 252U);
}

TEST(Modbus, refuses_to_ask_for_nothing_or_too_much) {
  struct Case {
    ModbusSpace space;
    int count;
  };
  for (const Case& each :
       {Case{ModbusSpace::coil, 2001}, Case{ModbusSpace::discrete, 2001}, Case{ModbusSpace::holding, 126},
        Case{ModbusSpace::input, 126}, Case{ModbusSpace::coil, 0}, Case{ModbusSpace::input, 0},
        Case{ModbusSpace::holding, -1}, Case{ModbusSpace::input, 65537}}) {
    expect_refused([&](std::string& pdu) { return append_modbus_read(pdu, each.space, 0, each.count); },
                   word(each.space));
  }
}

TEST(Modbus, writes_as_much_as_a_request_can_hold) {
  std::string pdu;
  ASSERT_TRUE(append_modbus_write_words(pdu, 0, std::vector<std::uint16_t>(123)));
  EXPECT_EQ(pdu.size(), 252U);
  pdu.clear();
  const std::array<bool, 1968> bits{};
  ASSERT_TRUE(append_modbus_write_bits(pdu, 0, bits));
  EXPECT_EQ(pdu.size(), 252U);
  pdu.clear();
  ASSERT_TRUE(append_modbus_exchange(pdu, 0, 125, 0, std::vector<std::uint16_t>(121)));
  EXPECT_EQ(pdu.size(), 252U);
  EXPECT_LE(pdu.size(), modbus_pdu_max);
}

TEST(Modbus, refuses_to_write_nothing_or_too_much) {
  const auto words = [](std::size_t count) {
    return [count](std::string& pdu) {
      return append_modbus_write_words(pdu, 0, std::vector<std::uint16_t>(count));
    };
  };
  expect_refused(words(0), "no word");
  expect_refused(words(124), "124 words");
  expect_refused(words(65536 + 1), "a count that 16 bits would cut");
  const std::array<bool, 1969> bits{};
  expect_refused([&](std::string& pdu) { return append_modbus_write_bits(pdu, 0, bits); }, "1969 bits");
  expect_refused([&](std::string& pdu) { return append_modbus_write_bits(pdu, 0, {}); }, "no bit");
  const auto exchange = [](int read_count, std::size_t write_count) {
    return [=](std::string& pdu) {
      return append_modbus_exchange(pdu, 0, read_count, 0, std::vector<std::uint16_t>(write_count));
    };
  };
  expect_refused(exchange(126, 1), "126 words read");
  expect_refused(exchange(0, 1), "no word read");
  expect_refused(exchange(1, 122), "122 words written");
  expect_refused(exchange(1, 0), "no word written");
}

TEST(Modbus, reaches_the_last_address_and_no_further) {
  EXPECT_EQ(read(ModbusSpace::holding, 65535, 1), hex("03 FF FF 00 01"));
  EXPECT_EQ(read(ModbusSpace::holding, 65411, 125), hex("03 FF 83 00 7D"));
  constexpr int largest = std::numeric_limits<int>::max();
  for (const int at : {-1, 65536, largest, std::numeric_limits<int>::min()}) {
    const std::string why = std::to_string(at);
    const std::array<std::uint16_t, 1> one{};
    const std::array<bool, 1> bit{};
    expect_refused([&](std::string& pdu) { return append_modbus_read(pdu, ModbusSpace::input, at, 1); },
                   why.c_str());
    expect_refused([&](std::string& pdu) { return append_modbus_write(pdu, ModbusSpace::coil, at, 1); },
                   why.c_str());
    expect_refused([&](std::string& pdu) { return append_modbus_write_words(pdu, at, one); }, why.c_str());
    expect_refused([&](std::string& pdu) { return append_modbus_write_bits(pdu, at, bit); }, why.c_str());
    expect_refused([&](std::string& pdu) { return append_modbus_exchange(pdu, at, 1, 0, one); }, why.c_str());
    expect_refused([&](std::string& pdu) { return append_modbus_exchange(pdu, 0, 1, at, one); }, why.c_str());
  }
  expect_refused([](std::string& pdu) { return append_modbus_read(pdu, ModbusSpace::holding, 65535, 2); },
                 "two words at the last address");
}

TEST(Modbus, refuses_to_write_what_can_only_be_read) {
  for (const ModbusSpace space : {ModbusSpace::discrete, ModbusSpace::input}) {
    expect_refused([&](std::string& pdu) { return append_modbus_write(pdu, space, 0, 1); }, word(space));
  }
}

TEST(Modbus, refuses_a_coil_that_is_neither_on_nor_off) {
  expect_refused([](std::string& pdu) { return append_modbus_write(pdu, ModbusSpace::coil, 0, 2); }, "2");
  expect_refused([](std::string& pdu) { return append_modbus_write(pdu, ModbusSpace::coil, 0, 0xFF00); },
                 "the word on the wire");
}

TEST(Modbus, knows_the_size_of_an_answer_from_its_first_byte) {
  for (const ModbusExample& each : modbus_examples()) {
    EXPECT_EQ(modbus_answer_size(each.request, {}), 0U) << each.name;
    for (std::size_t length = 1; length <= each.answer.size(); ++length) {
      EXPECT_EQ(modbus_answer_size(each.request, each.answer.substr(0, length)), each.answer.size())
          << each.name << ", " << length << " bytes";
    }
  }
}

TEST(Modbus, knows_no_size_of_what_can_not_be_the_answer) {
  const std::string request = read(ModbusSpace::input, 100, 4);
  EXPECT_EQ(modbus_answer_size(request, hex("03")), 0U);
  EXPECT_EQ(modbus_answer_size(request, hex("83 02")), 0U);
  EXPECT_EQ(modbus_answer_size(request, hex("04 06")), 0U);
  EXPECT_EQ(modbus_answer_size(request, hex("04 00")), 0U);
  EXPECT_EQ(modbus_answer_size(request, hex("04 08")), 10U);
  EXPECT_EQ(modbus_answer_size({}, hex("04 08")), 0U);
  EXPECT_EQ(modbus_answer_size(hex("07"), hex("07 6D")), 0U);
}

// Modbus application protocol V1.1b3, section 7, from memory; 07 and 09 are not in it.
TEST(Modbus, tells_a_wrong_profile_from_a_busy_and_a_broken_unit) {
  struct Case {
    const char* answer;
    Errc code;
  };
  for (const auto [answer, code] :
       {Case{"84 01", Errc::unsupported}, Case{"84 02", Errc::unsupported}, Case{"84 03", Errc::unsupported},
        Case{"84 04", Errc::io}, Case{"84 05", Errc::busy}, Case{"84 06", Errc::busy},
        Case{"84 07", Errc::io}, Case{"84 08", Errc::io}, Case{"84 09", Errc::io}, Case{"84 0A", Errc::io},
        Case{"84 0B", Errc::busy}, Case{"84 0C", Errc::io}, Case{"84 00", Errc::io},
        Case{"84 FF", Errc::io}}) {
    expect_error(check_modbus_answer(read(ModbusSpace::input, 100, 4), hex(answer)), code, answer);
  }
}

TEST(Modbus, reads_an_exception_to_every_function) {
  for (const ModbusExample& each : modbus_examples()) {
    std::string exception = each.request.substr(0, 1) + '\x02';
    exception[0] = static_cast<char>(exception[0] | 0x80);
    expect_error(check_modbus_answer(each.request, exception), Errc::unsupported, each.name);
  }
}

TEST(Modbus, says_which_register_a_unit_refuses) {
  const auto result = check_modbus_answer(read(ModbusSpace::input, 100, 4), hex("84 02"));
  ASSERT_FALSE(result);
  EXPECT_THAT(result.error().what, HasSubstr("read input 100, 4 words"));
  EXPECT_THAT(result.error().what, HasSubstr("exception 2"));
  EXPECT_THAT(result.error().mend, HasSubstr("profile"));
}

TEST(Modbus, does_not_blame_the_profile_for_a_broken_unit) {
  const auto result = check_modbus_answer(read(ModbusSpace::input, 100, 4), hex("84 04"));
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().mend, "");
}

TEST(Modbus, refuses_answers_that_are_longer_or_shorter) {
  for (const ModbusExample& each : modbus_examples()) {
    expect_error(check_modbus_answer(each.request, each.answer + '\0'), Errc::garbled, each.name);
    for (std::size_t length = 0; length < each.answer.size(); ++length) {
      expect_error(check_modbus_answer(each.request, each.answer.substr(0, length)), Errc::garbled,
                   each.name);
    }
  }
}

TEST(Modbus, refuses_answers_to_another_question) {
  const std::string request = read(ModbusSpace::input, 100, 1);
  expect_error(check_modbus_answer(request, hex("03 02 00 0A")), Errc::garbled, "another function");
  expect_error(check_modbus_answer(request, hex("83 02")), Errc::garbled, "exception to another function");
  expect_error(check_modbus_answer(request, hex("04 04 00 0A 00 00")), Errc::garbled, "two words");
  expect_error(check_modbus_answer(request, hex("04 03 00 0A")), Errc::garbled, "byte count beyond its end");
}

TEST(Modbus, refuses_a_write_that_is_repeated_with_one_bit_of_difference) {
  for (const char* name : {"write coil", "write holding", "write coils", "write holdings"}) {
    const ModbusExample& each = example(name);
    for (std::size_t bit = 8; bit < each.answer.size() * 8; ++bit) {
      std::string answer = each.answer;
      answer[bit / 8] = static_cast<char>(answer[bit / 8] ^ 1 << bit % 8);
      expect_error(check_modbus_answer(each.request, answer), Errc::garbled, name);
    }
  }
}

TEST(Modbus, does_not_mind_bits_that_nobody_asked_for) {
  const std::string request = read(ModbusSpace::coil, 0, 3);
  EXPECT_TRUE(check_modbus_answer(request, hex("01 01 FD")));
  EXPECT_FALSE(modbus_bit(hex("01 01 FD"), 1));
}

TEST(Modbus, finds_nothing_beyond_the_end_of_an_answer) {
  const std::string words = hex("04 02 FF FF");
  EXPECT_EQ(modbus_word(words, 0), 0xFFFF);
  EXPECT_EQ(modbus_word(words, 1), 0);
  EXPECT_EQ(modbus_word(words, std::numeric_limits<std::size_t>::max()), 0);
  const std::string bits = hex("02 01 FF");
  EXPECT_TRUE(modbus_bit(bits, 7));
  EXPECT_FALSE(modbus_bit(bits, 8));
  EXPECT_FALSE(modbus_bit(bits, std::numeric_limits<std::size_t>::max()));
}

TEST(Modbus, finds_no_words_where_there_are_none) {
  for (const char* answer : {"", "04", "04 02", "04 02 FF", "84 02", "06 00 01 00 03", "01 02 FF FF"}) {
    EXPECT_EQ(modbus_words(hex(answer)), 0U) << answer;
    EXPECT_EQ(modbus_word(hex(answer), 0), 0) << answer;
  }
  for (const char* answer : {"", "01", "01 01", "81 02", "05 00 AC FF 00", "03 02 FF FF"}) {
    EXPECT_EQ(modbus_bits(hex(answer)), 0U) << answer;
    EXPECT_FALSE(modbus_bit(hex(answer), 0)) << answer;
  }
}

TEST(Modbus, describes_requests_in_words) {
  EXPECT_EQ(describe_modbus(read(ModbusSpace::input, 100, 4)), "read input 100, 4 words");
  EXPECT_EQ(describe_modbus(example("read inputs").request), "read input 8, 1 word");
  EXPECT_EQ(describe_modbus(example("read holdings").request), "read holding 107, 3 words");
  EXPECT_EQ(describe_modbus(example("read coils").request), "read coil 19, 19 bits");
  EXPECT_EQ(describe_modbus(example("read discretes").request), "read discrete 196, 22 bits");
  EXPECT_EQ(describe_modbus(example("write coil").request), "write coil 172, 1 bit");
  EXPECT_EQ(describe_modbus(example("write holding").request), "write holding 1, 1 word");
  EXPECT_EQ(describe_modbus(example("write coils").request), "write coil 19, 10 bits");
  EXPECT_EQ(describe_modbus(example("write holdings").request), "write holding 1, 2 words");
  EXPECT_EQ(describe_modbus(example("exchange").request),
            "write holding 14, 3 words and read holding 3, 6 words");
  EXPECT_EQ(describe_modbus(hex("07")), "function 7");
}

}  // namespace
}  // namespace leadwright
