// SPDX-License-Identifier: Apache-2.0
// Blocks of samples: decode(encode(x)) is x bit for bit, and no bytes whatever harm the decoder.
#include <zstd.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <span>

#include "daemon/store/trace_codec.h"
#include "tests/fuzz/target.h"

namespace leadwright {
namespace {

constexpr std::size_t record_bytes = 12;
constexpr std::size_t plain_max = 1 << 16;

std::uint64_t word_of(std::span<const std::uint8_t> bytes) {
  std::uint64_t word = 0;
  for (const std::uint8_t byte : bytes.first(8)) word = word << 8 | byte;
  return word;
}

/// What the instruments say, to a digit of theirs, or any bits at all: both forms of a column.
std::optional<double> reading(unsigned form, std::uint64_t bits) {
  switch (form & 3U) {
    case 0:
      return std::nullopt;
    case 1:
      return std::bit_cast<double>(bits);
    case 2:
      return static_cast<double>(static_cast<std::int16_t>(bits)) / 1000.0;
    default:
      return static_cast<double>(static_cast<std::int32_t>(bits)) / 1e6;
  }
}

std::vector<Sample> samples_of(std::span<const std::uint8_t> bytes) {
  std::vector<Sample> samples;
  for (; bytes.size() >= record_bytes; bytes = bytes.subspan(record_bytes)) {
    const std::uint64_t bits = word_of(bytes);
    const unsigned forms = bytes[8];
    Sample sample;
    sample.at = Second(reading(forms >> 6, bits).value_or(static_cast<double>(samples.size()) * 0.1));
    sample.step = static_cast<int>(static_cast<std::int8_t>(bytes[9])) * (bytes[10] == 0 ? 1 : 16'000'000);
    if (const auto volts = reading(forms, bits)) sample.volts = Volt(*volts);
    if (const auto amps = reading(forms >> 2, std::rotl(bits, 16))) sample.amps = Ampere(*amps);
    if (const auto degc = reading(forms >> 4, std::rotl(bits, 32))) sample.temperature = Celsius(*degc);
    samples.push_back(sample);
  }
  return samples;
}

bool same_bits(double a, double b) {
  return std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b);
}
template <class T>
bool same_bits(const std::optional<T>& a, const std::optional<T>& b) {
  return a.has_value() == b.has_value() && (!a || same_bits(a->si(), b->si()));
}
bool same_bits(const Sample& a, const Sample& b) {
  const bool both_warm = a.temperature && b.temperature;
  return same_bits(a.at.si(), b.at.si()) && a.step == b.step && same_bits(a.volts, b.volts) &&
         same_bits(a.amps, b.amps) && a.temperature.has_value() == b.temperature.has_value() &&
         (!both_warm || same_bits(a.temperature->degc(), b.temperature->degc()));
}

void check_round_trip(std::span<const Sample> samples) {
  const auto block = encode_samples(samples);
  promise(block.has_value(), "samples can be encoded");
  const auto back = decode_samples(*block);
  promise(back.has_value(), "what was encoded can be decoded");
  promise(std::equal(samples.begin(), samples.end(), back->begin(), back->end(),
                     [](const Sample& a, const Sample& b) { return same_bits(a, b); }),
          "samples come back bit for bit");
}

void check_hostile(std::span<const std::uint8_t> block) {
  const auto samples = decode_samples(block);
  if (!samples) {
    promise(samples.error().code == Errc::garbled, "a damaged block is garbled");
    return;
  }
  promise(samples->size() <= samples_per_block_max, "a block is bounded");
  check_round_trip(*samples);
}

/// The bytes inside a sound frame, so that they reach the reader of columns.
Bytes framed(std::span<const std::uint8_t> plain) {
  Bytes frame(ZSTD_compressBound(plain.size()));
  frame.resize(ZSTD_compress(frame.data(), frame.size(), plain.data(), plain.size(), 1));
  return frame;
}

}  // namespace
}  // namespace leadwright

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::span<const std::uint8_t> bytes(data, std::min(size, leadwright::plain_max));
  leadwright::check_round_trip(leadwright::samples_of(bytes));
  leadwright::check_hostile(bytes);
  leadwright::check_hostile(leadwright::framed(bytes));
  return 0;
}
