// SPDX-License-Identifier: Apache-2.0
#include "tools/benchmarks/canned.h"

#include <array>
#include <charconv>

#include "protocol/modbus_frames.h"
#include "protocol/modbus_values.h"
#include "tools/benchmarks/measure.h"

namespace leadwright {

namespace {

constexpr double volts_shown = 12.625;
constexpr double amps_breaching = 300.0;

constexpr std::uint8_t the_unit = 1;
constexpr std::array<std::uint16_t, 2> charger_identity{0x1234, 0x0001};
constexpr int sample_at = 100;
constexpr std::size_t rtu_frame_size = 8;  // functions 1 to 6
constexpr std::size_t mbap_header_size = 7;

double number_in(std::string_view text) {
  double value = 0.0;
  std::from_chars(text.data(), text.data() + text.size(), value);
  return value;
}

void append_number(std::string& out, double value) {
  std::array<char, 32> room;
  const auto written =
      std::to_chars(room.data(), room.data() + room.size(), value, std::chars_format::fixed, 3);
  out.append(room.data(), written.ptr);
}

int word_in(std::string_view bytes, std::size_t at) {
  return static_cast<unsigned char>(bytes[at]) << 8 | static_cast<unsigned char>(bytes[at + 1]);
}

void append_word(std::string& out, int word) {
  out += static_cast<char>(word >> 8);
  out += static_cast<char>(word & 0xFF);
}

}  // namespace

void CannedLoad::receive(std::string_view bytes, std::string& answers) {
  input_.append(bytes);
  std::size_t begin = 0;
  for (std::size_t end = input_.find('\n'); end != input_.npos; end = input_.find('\n', begin)) {
    message(std::string_view(input_).substr(begin, end - begin), answers);
    begin = end + 1;
  }
  input_.erase(0, begin);
}

void CannedLoad::message(std::string_view text, std::string& answers) {
  answer_.clear();
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(';'), text.size());
    unit(text.substr(0, end), answer_);
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  if (!answer_.empty()) answers.append(answer_).append("\n");
}

void CannedLoad::unit(std::string_view text, std::string& answer) {
  if (text.starts_with(':')) text.remove_prefix(1);
  if (!text.ends_with('?')) {
    const std::size_t blank = std::min(text.find(' '), text.size());
    const std::string_view argument = blank < text.size() ? text.substr(blank + 1) : std::string_view();
    return command(text.substr(0, blank), argument);
  }
  text.remove_suffix(1);
  if (!answer.empty()) answer += ';';
  if (text == "MEAS:VOLT") return append_number(answer, volts_shown);
  if (text == "MEAS:CURR") return append_number(answer, measured_amps());
  if (text == "*IDN") {
    answer += "Leadwright,simulated load,canned,sim-1";
    return;
  }
  if (text == "SYST:ERR") {
    answer += "0,\"No error\"";
    return;
  }
  const auto found = settings_.find(text);
  answer += found == settings_.end() ? "0" : found->second;
}

void CannedLoad::command(std::string_view header, std::string_view argument) {
  const std::string_view shown = argument == "ON" ? "1" : argument == "OFF" ? "0" : argument;
  if (header == "INP") is_on_ = shown == "1";
  if (header == "CURR") set_amps_ = number_in(argument);
  const auto found = settings_.find(header);
  if (found != settings_.end()) {
    found->second.assign(shown);
  } else {
    settings_.emplace(header, shown);
  }
}

double BreachingLoad::measured_amps() {
  const double amps = CannedLoad::measured_amps();
  if (!is_on() || readings_max_ == 0) {
    readings_ = 0;
    return amps;
  }
  if (readings_++ < draws_ % readings_max_) return amps;
  is_breaching_ = readings_ == draws_ % readings_max_ + 1;
  return amps_breaching;
}

void BreachingLoad::about_to_answer() {
  if (!is_breaching_) return;
  is_breaching_ = false;
  ++draws_;
  readings_ = 0;
  breached_ns = machine_now().ns();
}

std::size_t CannedCharger::frame_size() const {
  if (framing_ == Framing::rtu) return rtu_frame_size;
  return input_.size() < mbap_header_size
             ? mbap_header_size
             : mbap_header_size - 1 + static_cast<std::size_t>(word_in(input_, 4));
}

void CannedCharger::receive(std::string_view bytes, std::string& answers) {
  input_.append(bytes);
  for (std::size_t size = frame_size(); input_.size() >= size; size = frame_size()) {
    if (framing_ == Framing::rtu) {
      append_rtu(answers, the_unit, answer_to(std::string_view(input_).substr(1, size - 3)));
    } else {
      const std::string_view request =
          std::string_view(input_).substr(mbap_header_size, size - mbap_header_size);
      append_mbap(answers, static_cast<std::uint16_t>(word_in(input_, 0)), the_unit, answer_to(request));
    }
    input_.erase(0, size);
  }
}

std::string CannedCharger::answer_to(std::string_view request) {
  const int function = static_cast<unsigned char>(request[0]);
  const int at = word_in(request, 1);
  const int value = word_in(request, 3);
  if (function == 5 || function == 6) {
    if (function == 6) holding_[at] = static_cast<std::uint16_t>(value);
    return std::string(request);
  }
  std::string answer(1, request[0]);
  if (function <= 2) {
    answer += static_cast<char>((value + 7) / 8);
    return answer.append(static_cast<std::size_t>((value + 7) / 8), '\0');
  }
  answer += static_cast<char>(value * 2);
  if (function == 3) {
    for (int i = 0; i < value; ++i) append_word(answer, holding_[at + i]);
  } else if (at == sample_at) {
    for (const double shown : {volts_shown, 0.0}) {
      const auto words = write_register(RegisterType::f32, WordOrder::abcd, shown);
      for (const std::uint16_t word : words->words) append_word(answer, word);
    }
  } else {
    for (const std::uint16_t word : charger_identity) append_word(answer, word);
  }
  return answer;
}

void CannedDevice::receive(std::string_view bytes, MemoryPort& port) {
  answers_.clear();
  instrument_.receive(bytes, answers_);
  if (!answers_.empty()) port.deliver(answers_);
}

}  // namespace leadwright
