// SPDX-License-Identifier: Apache-2.0
#include "tools/simtest_world/wire_ear.h"

#include <bit>
#include <charconv>
#include <cmath>
#include <cstdint>

#include "protocol/modbus_frames.h"

namespace leadwright {

namespace {

constexpr std::string_view scpi_sample = "MEAS:VOLT?;:MEAS:CURR?";
constexpr std::string_view tag_head = "*ESE ";
constexpr std::string_view modbus_sample{"\x04\x00\x64\x00\x04", 5};
constexpr std::string_view sample_answer{"\x04\x08", 2};
constexpr std::string_view off_answer{"\x01\x01\x00", 3};
constexpr std::string_view coil_on{"\x05\x00\x00\xFF\x00", 5};
constexpr std::string_view coil_off{"\x05\x00\x00\x00\x00", 5};
constexpr std::string_view ask_coil{"\x01\x00\x00\x00\x01", 5};
constexpr std::string_view ask_coils{"\x01\x00\x00\x00\x08", 5};
constexpr std::string_view coils_off{"\x0F\x00\x00\x00\x08\x01\x00", 7};
/// Switches one contact on, whichever.
constexpr std::string_view write_coil{"\x05\x00", 2};
constexpr std::string_view value_on{"\xFF\x00", 2};
/// SCPI-99 writes 9.9E37 and 9.91E37 for what could not be measured (volume 1, 7.2.1).
constexpr double not_measured = 9e37;

/// What a unit is told, without its number and the check.
std::string_view told(std::string_view frame) {
  return frame.size() > 3 ? frame.substr(1, frame.size() - 3) : std::string_view();
}

/// Its check is right.
bool is_intact(std::string_view frame) {
  const std::size_t size = frame.size();
  const std::uint16_t check = modbus_crc(frame.substr(0, size - 2));
  return static_cast<unsigned char>(frame[size - 2]) == (check & 0xFFU) &&
         static_cast<unsigned char>(frame[size - 1]) == check >> 8U;
}

std::optional<double> measured_in(std::string_view text) {
  if (text.starts_with('+')) text.remove_prefix(1);
  double value = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end == text.data() || std::abs(value) >= not_measured) return std::nullopt;
  return value;
}

std::optional<double> measured_f32(std::string_view bytes) {
  std::uint32_t bits = 0;
  for (std::size_t i = 0; i < 4; ++i) bits = bits << 8U | static_cast<unsigned char>(bytes[i]);
  const auto value = std::bit_cast<float>(bits);
  return std::isfinite(value) ? std::optional<double>(value) : std::nullopt;
}

std::string_view last_field(std::string_view& line) {
  const std::size_t semicolon = line.rfind(';');
  const std::string_view field = semicolon == std::string_view::npos ? line : line.substr(semicolon + 1);
  line = semicolon == std::string_view::npos ? std::string_view() : line.substr(0, semicolon);
  return field;
}

}  // namespace

bool WireEar::switches_on(Kind kind, std::string_view bytes) {
  if (kind == Kind::scpi) return bytes.starts_with("INP ON") || bytes.starts_with("OUTP ON");
  if (kind == Kind::modbus) return told(bytes) == coil_on;
  return told(bytes).size() == 5 && told(bytes).starts_with(write_coil) && told(bytes).ends_with(value_on);
}

bool WireEar::switches_off(Kind kind, std::string_view bytes) {
  if (kind == Kind::scpi) {
    // The rest of a half-sent message may be ended first.
    return bytes.find("INP OFF") != std::string_view::npos ||
           bytes.find("OUTP OFF") != std::string_view::npos;
  }
  return told(bytes) == (kind == Kind::modbus ? coil_off : coils_off);
}

void WireEar::hear(bool outward, std::string_view bytes, Instant at) {
  if (outward) return hear_question(bytes, at);
  came_.append(bytes);
  if (kind_ != Kind::scpi) {
    if (hear_frame(at)) came_.clear();
    return;
  }
  for (std::size_t end = came_.find('\n'); end != std::string::npos; end = came_.find('\n')) {
    const std::string line = came_.substr(0, end);
    came_.erase(0, end + 1);
    hear_line(line, at);
  }
}

void WireEar::hear_question(std::string_view bytes, Instant at) {
  if (switches_on(kind_, bytes)) on_at_ = at;
  if (switches_off(kind_, bytes)) {
    off_at_ = at;
    said_off_ = true;
  }
  asked_ = Asked::nothing;
  came_.clear();
  asked_at_ = at;
  if (kind_ == Kind::scpi) {
    if (!bytes.starts_with(tag_head)) return;
    number_ = bytes.substr(tag_head.size(), bytes.find(';') - tag_head.size());
    if (bytes.find(scpi_sample) != std::string_view::npos) {
      asked_ = Asked::sample;
    } else if (bytes.find(";INP?;") != std::string_view::npos ||
               bytes.find(";OUTP?;") != std::string_view::npos) {
      asked_ = Asked::state;
    }
  } else if (told(bytes) == modbus_sample) {
    asked_ = Asked::sample;
  } else if (told(bytes) == (kind_ == Kind::modbus ? ask_coil : ask_coils)) {
    asked_ = Asked::state;
  }
}

void WireEar::answered(Instant at) {
  if (asked_ == Asked::sample) good_at_ = midpoint(asked_at_, at);
  if (asked_ == Asked::state && said_off_) {
    is_proved_ = true;
    proved_at_ = at;
  }
  asked_ = Asked::nothing;
}

void WireEar::measured(double volts, double amps, Instant at) {
  volts_ = Volt(volts);
  amps_ = Ampere(amps);
  heard_at_ = at;
  answered(at);
}

void WireEar::hear_line(std::string_view line, Instant at) {
  if (line.ends_with('\r')) line.remove_suffix(1);
  if (asked_ == Asked::nothing || last_field(line) != number_) return;
  const std::string_view last = last_field(line);
  if (asked_ == Asked::state && last == "0") answered(at);
  if (asked_ != Asked::sample) return;
  const auto amps = measured_in(last);
  const auto volts = measured_in(last_field(line));
  if (volts && amps) measured(*volts, *amps, at);
}

bool WireEar::hear_frame(Instant at) {
  const bool is_sample = asked_ == Asked::sample;
  const std::size_t size = is_sample ? 13 : 6;
  const std::string_view head = is_sample ? sample_answer : off_answer;
  for (std::size_t from = 0; asked_ != Asked::nothing && from + size <= came_.size(); ++from) {
    const std::string_view frame = std::string_view(came_).substr(from, size);
    if (frame.substr(1, head.size()) != head || !is_intact(frame)) continue;
    if (!is_sample) {
      answered(at);
      return true;
    }
    const auto volts = measured_f32(frame.substr(3));
    const auto amps = measured_f32(frame.substr(7));
    if (volts && amps) measured(*volts, *amps, at);
    return true;
  }
  return false;
}

}  // namespace leadwright
