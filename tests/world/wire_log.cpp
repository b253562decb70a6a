// SPDX-License-Identifier: Apache-2.0
#include "tests/world/wire_log.h"

#include <algorithm>
#include <bit>
#include <charconv>
#include <cstdint>

#include "tools/benchsim/sim_registers.h"

namespace leadwright {

namespace {

constexpr std::size_t write_frame = 8;
constexpr std::string_view coil_on{"\x05\x00\x00\xFF\x00", 5};
constexpr std::string_view coil_off{"\x05\x00\x00\x00\x00", 5};
constexpr std::string_view scpi_sample = "MEAS:VOLT?;:MEAS:CURR?";
constexpr std::string_view modbus_sample{"\x04\x00\x64\x00\x04", 5};

bool is_text(std::string_view bytes) {
  return bytes.ends_with('\n');
}

/// What a unit is told, without its number and the check.
std::string_view pdu(std::string_view frame) {
  return frame.size() == write_frame ? frame.substr(1, 5) : std::string_view();
}

/// Bytes of the whole answer that begins so; 0 while it can't be known.
std::size_t answer_size(std::string_view begun, bool text) {
  if (text) {
    const std::size_t end = begun.find('\n');
    return end == std::string_view::npos ? 0 : end + 1;
  }
  if (begun.size() < 3) return 0;
  const auto function = static_cast<unsigned char>(begun[1]);
  if (function > 0x80) return 5;
  if (function <= 4) return 5U + static_cast<unsigned char>(begun[2]);
  return write_frame;
}

double number(std::string_view text) {
  double value = 0.0;
  std::from_chars(text.data(), text.data() + text.size(), value);
  return value;
}

double f32(std::string_view words) {
  std::uint32_t bits = 0;
  for (int i = 0; i < 4; ++i) bits = bits << 8U | static_cast<unsigned char>(words[i]);
  return static_cast<double>(std::bit_cast<float>(bits));
}

}  // namespace

WireTap WorldWireLog::tap() {
  return [this](const std::string& link, bool outward, std::string_view bytes, Instant at) {
    links_[link].push_back({outward, std::string(bytes), at});
  };
}

std::vector<Crossing> WorldWireLog::said(const std::string& link, Instant since) {
  std::vector<Crossing> found;
  std::ranges::copy_if(of(link), std::back_inserter(found), [since](const Crossing& crossing) {
    return crossing.outward && crossing.at >= since;
  });
  return found;
}

bool WorldWireLog::switches_on(std::string_view bytes) {
  return bytes.starts_with("INP ON") || bytes.starts_with("OUTP ON") || pdu(bytes) == coil_on;
}

bool WorldWireLog::switches_off(std::string_view bytes) {
  return bytes.starts_with("INP OFF") || bytes.starts_with("OUTP OFF") || pdu(bytes) == coil_off;
}

bool WorldWireLog::energises(std::string_view bytes) {
  if (switches_on(bytes)) return true;
  if (bytes.starts_with("VOLT ") || bytes.starts_with("CURR ")) return number(bytes.substr(5)) > 0.0;
  const std::string_view written = pdu(bytes);
  if (!written.starts_with(std::string_view("\x06\x00", 2))) return false;
  const bool is_level = written[2] == sim_registers::hold_volts || written[2] == sim_registers::hold_amps;
  return is_level && written.substr(3) != std::string_view("\x00\x00", 2);
}

int WorldWireLog::energy_count(const std::string& link, Instant since) {
  const auto lines = said(link, since);
  return static_cast<int>(
      std::ranges::count_if(lines, [](const Crossing& crossing) { return energises(crossing.bytes); }));
}

int WorldWireLog::on_count(const std::string& link, Instant since) {
  const auto lines = said(link, since);
  return static_cast<int>(
      std::ranges::count_if(lines, [](const Crossing& crossing) { return switches_on(crossing.bytes); }));
}

int WorldWireLog::off_count(const std::string& link, Instant since) {
  const auto lines = said(link, since);
  return static_cast<int>(
      std::ranges::count_if(lines, [](const Crossing& crossing) { return switches_off(crossing.bytes); }));
}

std::optional<Instant> WorldWireLog::first_off(const std::string& link, Instant since) {
  for (const Crossing& crossing : of(link)) {
    if (crossing.outward && crossing.at >= since && switches_off(crossing.bytes)) return crossing.at;
  }
  return std::nullopt;
}

std::vector<WireExchange> WorldWireLog::exchanges(const std::string& link, bool doubled) {
  std::vector<WireExchange> found;
  std::size_t next = 0;
  std::string came;
  const Crossing* last = nullptr;
  for (const Crossing& crossing : of(link)) {
    if (crossing.outward) {
      const bool is_asked = !is_text(crossing.bytes) || crossing.bytes.find('?') != std::string::npos;
      if (is_asked) found.push_back({crossing.bytes, crossing.at, "", Instant()});
      continue;
    }
    const bool again = doubled && last != nullptr && last->at == crossing.at && last->bytes == crossing.bytes;
    last = &crossing;
    if (again) continue;
    came += crossing.bytes;
    while (next < found.size()) {
      const std::size_t size = answer_size(came, is_text(found[next].question));
      if (size == 0 || came.size() < size) break;
      found[next].answer = came.substr(0, size);
      found[next++].answered = crossing.at;
      came.erase(0, size);
    }
  }
  found.resize(next);
  return found;
}

std::optional<WorldWireLog::Sampled> WorldWireLog::sampled(const WireExchange& exchange) {
  const std::string_view answer = exchange.answer;
  if (is_text(exchange.question)) {
    if (exchange.question.find(scpi_sample) == std::string::npos) return std::nullopt;
    return Sampled{number(answer), number(answer.substr(answer.find(';') + 1))};
  }
  if (pdu(exchange.question) != modbus_sample || answer.size() != 13) return std::nullopt;
  return Sampled{f32(answer.substr(3)), f32(answer.substr(7))};
}

}  // namespace leadwright
