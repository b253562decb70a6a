// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/trace_codec.h"

#include <gmock/gmock.h>

#include <cmath>
#include <limits>
#include <random>

#include "tests/store/store_world.h"

namespace leadwright {
namespace {

template <class T>
std::optional<std::uint64_t> bits(const std::optional<T>& value) {
  return value ? std::optional(std::bit_cast<std::uint64_t>(*value)) : std::nullopt;
}

void expect_round_trip(const std::vector<Sample>& samples) {
  const auto block = encode_samples(samples);
  ASSERT_TRUE(block) << block.error().line();
  const auto back = decode_samples(*block);
  ASSERT_TRUE(back) << back.error().line();
  ASSERT_EQ(back->size(), samples.size());
  for (std::size_t i = 0; i < samples.size(); ++i) {
    const Sample& was = samples[i];
    const Sample& is = (*back)[i];
    EXPECT_EQ(std::bit_cast<std::uint64_t>(is.at), std::bit_cast<std::uint64_t>(was.at)) << i;
    EXPECT_EQ(is.step, was.step) << i;
    EXPECT_EQ(bits(is.volts), bits(was.volts)) << i;
    EXPECT_EQ(bits(is.amps), bits(was.amps)) << i;
    EXPECT_EQ(bits(is.temperature), bits(was.temperature)) << i;
  }
}

TEST(TraceCodec, gives_back_what_a_bench_makes) {
  expect_round_trip(example_samples(600));
}
TEST(TraceCodec, gives_back_nothing) {
  expect_round_trip({});
}
TEST(TraceCodec, gives_back_a_single_sample_without_readings) {
  expect_round_trip({Sample{}});
}

TEST(TraceCodec, gives_back_every_pattern_of_missing_readings) {
  std::vector<Sample> samples;
  for (int i = 0; i < 67; ++i) {
    Sample sample;
    sample.at = Second(i);
    if (i % 2 != 0) sample.volts = Volt(-i);
    if (i > 60) sample.amps = Ampere(0.0);
    if (i < 9) sample.temperature = Celsius(-20.5);
    samples.push_back(sample);
  }
  expect_round_trip(samples);
}

TEST(TraceCodec, gives_back_values_that_no_short_decimal_has) {
  const double odd = 1.0 / 3.0;
  const double huge = std::numeric_limits<double>::max();
  const double tiny = std::numeric_limits<double>::denorm_min();
  const double none = std::numeric_limits<double>::quiet_NaN();
  std::vector<Sample> samples;
  for (const double value : {odd, huge, -huge, tiny, -0.0, none, 9e15, 1e-7}) {
    samples.push_back({Second(value), -3, Volt(value), Ampere(-value), Celsius(value)});
  }
  expect_round_trip(samples);
}

TEST(TraceCodec, gives_back_random_samples) {
  std::mt19937_64 random(4);
  for (int round = 0; round < 50; ++round) {
    std::vector<Sample> samples(random() % 300);
    for (Sample& sample : samples) {
      sample.at = Second(static_cast<double>(random() % 100'000'000'000) * 1e-9);
      sample.step = static_cast<int>(random());
      if (random() % 5 != 0) sample.volts = Volt(static_cast<double>(random() % 15'000) / 1000.0);
      if (random() % 5 != 0) sample.amps = Ampere(std::bit_cast<double>(random()));
      if (random() % 2 != 0) sample.temperature = Celsius(static_cast<double>(random() % 600) / 10.0);
    }
    expect_round_trip(samples);
  }
}

TEST(TraceCodec, takes_less_than_three_bytes_a_sample_of_a_discharge) {
  constexpr std::size_t bytes_per_sample_max = 3;
  std::mt19937_64 random(7);
  std::vector<Sample> samples = example_samples(600);
  for (std::size_t i = 0; i < samples.size(); ++i) {
    samples[i].volts = Volt(static_cast<double>(12'500 - i / 10 + random() % 2) / 1000.0);
    samples[i].amps = Ampere(static_cast<double>(24'999 + random() % 3) / 1000.0);
    samples[i].temperature = Celsius(24.3);
  }
  expect_round_trip(samples);
  EXPECT_LT(encode_samples(samples)->size(), samples.size() * bytes_per_sample_max);
}

TEST(TraceCodec, finds_every_flipped_byte_and_every_cut) {
  const Bytes block = encode_samples(example_samples(60)).value();
  const std::vector<Sample> whole = decode_samples(block).value();
  for (std::size_t i = 0; i < block.size(); ++i) {
    Bytes damaged = block;
    damaged[i] = static_cast<unsigned char>(damaged[i] ^ 0x55);
    const auto read = decode_samples(damaged);
    // A bit of the frame's head that zstd ignores may change nothing; it must never give other samples.
    if (read) {
      EXPECT_EQ(encode_samples(*read).value(), block) << "byte " << i;
    }
    EXPECT_FALSE(decode_samples(std::span(block).first(i))) << "cut at " << i;
  }
}

TEST(TraceCodec, refuses_what_is_no_block) {
  EXPECT_FALSE(decode_samples(Bytes{}));
  EXPECT_FALSE(decode_samples(Bytes(100, 0)));
  EXPECT_EQ(decode_samples(Bytes{1, 2, 3}).error().code, Errc::garbled);
}

TEST(TraceCodec, refuses_a_block_beyond_its_limit) {
  EXPECT_FALSE(encode_samples(std::vector<Sample>(samples_per_block_max + 1)));
}

}  // namespace
}  // namespace leadwright
