// SPDX-License-Identifier: Apache-2.0
// What the two targets of Modbus frames share: bytes of an input, the request that they choose, its right
// answer.
#pragma once

#include <algorithm>
#include <array>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "protocol/modbus.h"
#include "protocol/modbus_frames.h"
#include "tests/fuzz/target.h"

namespace leadwright {

/// So that a seed can be read and keep to the rules for text: two lower-case hexadecimal digits are a byte,
/// blanks and line ends are nothing, any other byte is itself.
inline std::string bytes_of(std::string_view text) {
  constexpr std::string_view digits = "0123456789abcdef";
  std::string bytes;
  for (std::size_t at = 0; at < text.size(); ++at) {
    const std::size_t high = digits.find(text[at]);
    const std::size_t low = at + 1 < text.size() ? digits.find(text[at + 1]) : std::string_view::npos;
    if (high != std::string_view::npos && low != std::string_view::npos) {
      bytes.push_back(static_cast<char>(high << 4 | low));
      ++at;
    } else if (text[at] != ' ' && text[at] != '\n') {
      bytes.push_back(text[at]);
    }
  }
  return bytes;
}

/// The bytes of an input, one after the other, then zeros.
class Taken {
 public:
  explicit Taken(std::string_view bytes) : rest_(bytes) {}
  unsigned byte() {
    if (rest_.empty()) return 0;
    const unsigned value = static_cast<unsigned char>(rest_.front());
    rest_.remove_prefix(1);
    return value;
  }
  unsigned word() {
    const unsigned high = byte();
    return high << 8 | byte();
  }
  std::string_view rest() const { return rest_; }
  bool is_empty() const { return rest_.empty(); }

 private:
  std::string_view rest_;
};

/// One input of a fuzzer, taken apart by `check`.
inline int check_input(const std::uint8_t* data, std::size_t size, void (*check)(Taken&)) {
  const std::string bytes = bytes_of(text_of(data, size));
  Taken input(bytes);
  check(input);
  return 0;
}

/// A copy that ends where the memory does, so that the address sanitizer sees a read beyond it.
class Exact {
 public:
  explicit Exact(std::string_view bytes)
      : room_(std::make_unique<char[]>(bytes.size())), size_(bytes.size()) {
    std::copy(bytes.begin(), bytes.end(), room_.get());
  }
  std::string_view view() const { return {room_.get(), size_}; }

 private:
  std::unique_ptr<char[]> room_;
  std::size_t size_;
};

/// Turns the bit at `place`, counted from the front and round again.
inline void flip(std::string& bytes, unsigned place, std::size_t within) {
  char& byte = bytes.at(place / 8 % within);
  byte = static_cast<char>(static_cast<unsigned char>(byte) ^ 1U << place % 8);
}

inline constexpr int choices = 9;

/// What `append` must do within the limits of the specification, and beyond them.
inline void check_appended(const Result<void>& result, bool within, const std::string& pdu) {
  promise(result.has_value() == within, "the limits are those of the specification");
  promise(pdu.empty() == !within, "nothing is appended beyond the limits");
  promise(pdu.size() <= modbus_pdu_max, "a request fits into a frame");
  promise(within || result.error().code == Errc::bad_input, "beyond the limits is bad input");
}

inline bool is_within(int at, int count, int count_max) {
  return at >= 0 && count >= 1 && count <= count_max && at + count <= 65536;
}

/// A request of any function, or an empty one if the chosen numbers lie beyond its limits.
inline std::string request_of(Taken& input) {
  const unsigned choice = input.byte() % choices;
  const int at = static_cast<int>(input.word());
  const int count = static_cast<int>(input.word() % 2100);
  const auto value = static_cast<std::uint16_t>(input.word());
  const auto room = static_cast<std::size_t>(std::min(count, 2100));
  std::string pdu;
  switch (choice) {
    case 0:
    case 1:
    case 2:
    case 3: {
      const auto space = static_cast<ModbusSpace>(choice);
      const int count_max = choice < 2 ? modbus_read_bits_max : modbus_read_words_max;
      check_appended(append_modbus_read(pdu, space, at, count), is_within(at, count, count_max), pdu);
      break;
    }
    case 4:
      check_appended(append_modbus_write(pdu, ModbusSpace::coil, at, value), value <= 1, pdu);
      break;
    case 5:
      check_appended(append_modbus_write(pdu, ModbusSpace::holding, at, value), true, pdu);
      break;
    case 6: {
      const auto bits = std::make_unique<bool[]>(room);
      std::fill_n(bits.get(), room, value % 2 == 1);
      check_appended(append_modbus_write_bits(pdu, at, {bits.get(), room}),
                     is_within(at, count, modbus_write_bits_max), pdu);
      break;
    }
    case 7:
      check_appended(append_modbus_write_words(pdu, at, std::vector<std::uint16_t>(room, value)),
                     is_within(at, count, modbus_write_words_max), pdu);
      break;
    default: {
      const int write_count = static_cast<int>(input.byte());
      const std::vector<std::uint16_t> words(static_cast<std::size_t>(write_count), value);
      const bool within = is_within(at, count, modbus_read_words_max) &&
                          is_within(value, write_count, modbus_exchange_write_words_max);
      check_appended(append_modbus_exchange(pdu, at, count, value, words), within, pdu);
    }
  }
  return pdu;
}

/// A right answer to a right request, with any data: from the specification, not from the codec.
inline std::string right_answer(std::string_view request, Taken& data) {
  const auto function = static_cast<unsigned char>(request.at(0));
  const bool only_writes = function == 5 || function == 6 || function == 15 || function == 16;
  if (only_writes) return std::string(request.substr(0, 5));
  const unsigned count = static_cast<unsigned>(static_cast<unsigned char>(request.at(3))) << 8 |
                         static_cast<unsigned char>(request.at(4));
  const unsigned size = function <= 2 ? (count + 7) / 8 : count * 2;
  std::string answer{static_cast<char>(function), static_cast<char>(size)};
  for (unsigned i = 0; i < size; ++i) answer.push_back(static_cast<char>(data.byte()));
  return answer;
}

/// What must hold of everything that was heard as an answer.
inline void check_accepted(std::string_view request, std::string_view answer) {
  const unsigned asked = static_cast<unsigned char>(request.front());
  const unsigned answered = static_cast<unsigned char>(answer.front());
  promise(answered == asked || answered == (asked | 0x80), "an answer has the function that was asked for");
  promise(answer.size() == modbus_answer_size(request, answer), "an answer has the size that was expected");
  promise(answer.size() <= modbus_pdu_max, "an answer fits into a frame");
  const auto checked = check_modbus_answer(request, answer);
  if (answered == (asked | 0x80)) {
    promise(answer.size() == 2, "an exception has two bytes");
    promise(!checked, "an exception is an error");
    promise(checked.error().code != Errc::garbled, "an exception is not garbled");
  }
  if (checked) {
    promise(answered == asked, "a right answer is no exception");
    Taken data(answer.substr(2));
    promise(right_answer(request, data) == answer, "a right answer is what the specification says");
  } else {
    promise(!checked.error().what.empty(), "an error says what");
  }
  const std::size_t words = modbus_words(answer);
  promise(words * 2 + 2 <= answer.size() || words == 0, "words lie inside the answer");
  promise(modbus_word(answer, words) == 0, "there is no word beyond the last");
  const std::size_t bits = modbus_bits(answer);
  promise(bits / 8 + 2 <= answer.size() || bits == 0, "bits lie inside the answer");
  promise(!modbus_bit(answer, bits), "there is no bit beyond the last");
}

/// The next length at which growing bytes are heard: all near both ends, where frames begin and end.
inline std::size_t length_after(std::size_t length, std::size_t whole) {
  constexpr std::size_t near = 20;
  constexpr std::size_t stride = 16;
  if (length < near || whole <= length + near) return length + 1;
  return std::min(length + stride, whole - near);
}

/// Hears `came` as it grows: waits, accepts at most once, and never takes back that it gave up.
/// `hear` returns what it heard in the view that it is given. True if it accepted the whole.
template <class Hear>
bool hear_growing(std::string_view came, std::string_view request, const Hear& hear) {
  using Kind = ModbusHeard::Kind;
  Kind before = Kind::incomplete;
  for (std::size_t length = 0; length <= came.size(); length = length_after(length, came.size())) {
    const Exact exact(came.substr(0, length));
    const std::string_view view = exact.view();
    const ModbusHeard heard = hear(view);
    promise(before == Kind::incomplete || heard.kind == Kind::garbled, "nothing may follow an end");
    promise((heard.kind == Kind::garbled) == (*heard.why != '\0'), "what is garbled says why");
    promise((heard.kind == Kind::answer) == !heard.pdu.empty(), "only an answer has a message");
    if (heard.kind == Kind::answer) {
      promise(
          heard.pdu.data() >= view.data() && heard.pdu.data() + heard.pdu.size() <= view.data() + view.size(),
          "an answer is part of what came");
      check_accepted(request, heard.pdu);
    }
    before = heard.kind;
  }
  return before == Kind::answer;
}

}  // namespace leadwright
