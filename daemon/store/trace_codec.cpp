// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/trace_codec.h"

#include <zstd.h>

#include <bit>
#include <cmath>

namespace leadwright {

namespace {

constexpr int zstd_level = 3;
constexpr unsigned char format_version = 1;
/// Largest block inside the frame: five columns of ten bytes a sample, and some room for their heads.
constexpr std::size_t plain_bytes_max = samples_per_block_max * 50 + 1024;
/// Integers beyond this are not exact in a double.
constexpr double scaled_max = 9e15;

enum class Presence : unsigned char { none = 0, all = 1, some = 2 };
enum class Form : unsigned char { raw = 0, scaled = 1 };
enum class Scale { nano, micro };

double scaled_up(double value, Scale scale) {
  return std::round(value * (scale == Scale::nano ? 1e9 : 1e6));
}
double scaled_down(std::int64_t count, Scale scale) {
  // Instants become seconds by this very multiplication; readings are decimal fractions, which division
  // keeps.
  return scale == Scale::nano ? static_cast<double>(count) * 1e-9 : static_cast<double>(count) / 1e6;
}

struct Writer {
  Bytes bytes;

  void byte(unsigned char value) { bytes.push_back(value); }
  void varint(std::uint64_t value) {
    while (value >= 0x80) {
      byte(static_cast<unsigned char>(value | 0x80));
      value >>= 7;
    }
    byte(static_cast<unsigned char>(value));
  }
  void zigzag(std::int64_t value) {
    varint((static_cast<std::uint64_t>(value) << 1) ^ static_cast<std::uint64_t>(value >> 63));
  }
  void raw(double value) {
    auto bits = std::bit_cast<std::uint64_t>(value);
    for (int i = 0; i < 8; ++i, bits >>= 8) byte(static_cast<unsigned char>(bits));
  }
};

/// Reads past the end give zero and make `ok` false.
struct Reader {
  std::span<const unsigned char> bytes;
  std::size_t at = 0;
  bool ok = true;

  unsigned char byte() {
    if (at >= bytes.size()) {
      ok = false;
      return 0;
    }
    return bytes[at++];
  }
  std::uint64_t varint() {
    std::uint64_t value = 0;
    for (int shift = 0; shift < 64; shift += 7) {
      const unsigned char next = byte();
      value |= static_cast<std::uint64_t>(next & 0x7f) << shift;
      if ((next & 0x80) == 0) return value;
    }
    ok = false;
    return 0;
  }
  std::int64_t zigzag() {
    const std::uint64_t value = varint();
    return static_cast<std::int64_t>((value >> 1) ^ (~(value & 1) + 1));
  }
  double raw() {
    std::uint64_t bits = 0;
    for (int i = 0; i < 64; i += 8) bits |= static_cast<std::uint64_t>(byte()) << i;
    return std::bit_cast<double>(bits);
  }
};

using Column = std::vector<std::optional<double>>;

bool is_exact(const Column& column, Scale scale) {
  for (const auto& value : column) {
    if (!value) continue;
    const double count = scaled_up(*value, scale);
    if (!(std::abs(count) < scaled_max)) return false;
    const double back = scaled_down(static_cast<std::int64_t>(count), scale);
    if (std::bit_cast<std::uint64_t>(back) != std::bit_cast<std::uint64_t>(*value)) return false;
  }
  return true;
}

void write_presence(Writer& out, const Column& column) {
  std::size_t present = 0;
  for (const auto& value : column) present += value ? 1 : 0;
  if (present == column.size() || present == 0) {
    out.byte(static_cast<unsigned char>(present == 0 ? Presence::none : Presence::all));
    return;
  }
  out.byte(static_cast<unsigned char>(Presence::some));
  Bytes map((column.size() + 7) / 8);
  for (std::size_t i = 0; i < column.size(); ++i) {
    if (column[i]) map[i / 8] = static_cast<unsigned char>(map[i / 8] | (1U << (i % 8)));
  }
  out.bytes.insert(out.bytes.end(), map.begin(), map.end());
}

void write_column(Writer& out, const Column& column, Scale scale) {
  write_presence(out, column);
  const Form form = is_exact(column, scale) ? Form::scaled : Form::raw;
  out.byte(static_cast<unsigned char>(form));
  std::int64_t previous = 0;
  for (const auto& value : column) {
    if (!value) continue;
    if (form == Form::raw) {
      out.raw(*value);
      continue;
    }
    const auto count = static_cast<std::int64_t>(scaled_up(*value, scale));
    out.zigzag(count - previous);
    previous = count;
  }
}

std::vector<bool> read_presence(Reader& in, std::size_t count) {
  const auto presence = static_cast<Presence>(in.byte());
  if (presence == Presence::all || presence == Presence::none) {
    return std::vector<bool>(count, presence == Presence::all);
  }
  std::vector<bool> present(count);
  if (presence != Presence::some) in.ok = false;
  unsigned char bits = 0;
  for (std::size_t i = 0; i < count; ++i) {
    if (i % 8 == 0) bits = in.byte();
    present[i] = (bits >> (i % 8) & 1U) != 0;
  }
  return present;
}

Column read_column(Reader& in, std::size_t count, Scale scale) {
  const std::vector<bool> present = read_presence(in, count);
  const auto form = static_cast<Form>(in.byte());
  if (form != Form::raw && form != Form::scaled) in.ok = false;
  Column column(count);
  // Unsigned: a hostile block may overflow, which must be harmless.
  std::uint64_t sum = 0;
  for (std::size_t i = 0; i < count && in.ok; ++i) {
    if (!present[i]) continue;
    if (form == Form::raw) {
      column[i] = in.raw();
    } else {
      sum += static_cast<std::uint64_t>(in.zigzag());
      column[i] = scaled_down(static_cast<std::int64_t>(sum), scale);
    }
  }
  return column;
}

template <class Get>
Column column_of(std::span<const Sample> samples, Get get) {
  Column column;
  column.reserve(samples.size());
  for (const Sample& sample : samples) column.push_back(get(sample));
  return column;
}

Bytes plain_block(std::span<const Sample> samples) {
  Writer out;
  out.byte(format_version);
  out.varint(samples.size());
  const auto time = column_of(samples, [](const Sample& s) -> std::optional<double> { return s.at.si(); });
  write_column(out, time, Scale::nano);
  std::int64_t previous = 0;
  for (const Sample& sample : samples) {
    out.zigzag(sample.step - previous);
    previous = sample.step;
  }
  const auto si = [](const auto& value) { return value ? std::optional(value->si()) : std::nullopt; };
  write_column(out, column_of(samples, [&](const Sample& s) { return si(s.volts); }), Scale::micro);
  write_column(out, column_of(samples, [&](const Sample& s) { return si(s.amps); }), Scale::micro);
  const auto degrees = [](const Sample& s) {
    return s.temperature ? std::optional(s.temperature->degc()) : std::nullopt;
  };
  write_column(out, column_of(samples, degrees), Scale::micro);
  return std::move(out.bytes);
}

tl::unexpected<Error> damaged(const char* what) {
  return fail(Errc::garbled, std::string("a block of samples is damaged: ") + what);
}

Result<Bytes> unpack(std::span<const unsigned char> block) {
  const unsigned long long size = ZSTD_getFrameContentSize(block.data(), block.size());
  if (size == ZSTD_CONTENTSIZE_ERROR || size == ZSTD_CONTENTSIZE_UNKNOWN) return damaged("no frame");
  if (size > plain_bytes_max) return damaged("too large");
  Bytes plain(static_cast<std::size_t>(size));
  const std::size_t got = ZSTD_decompress(plain.data(), plain.size(), block.data(), block.size());
  if (ZSTD_isError(got) != 0) return damaged(ZSTD_getErrorName(got));
  if (got != plain.size()) return damaged("short frame");
  return plain;
}

}  // namespace

Result<Bytes> encode_samples(std::span<const Sample> samples) {
  if (samples.size() > samples_per_block_max) return fail(Errc::bug, "too many samples for one block");
  const Bytes plain = plain_block(samples);
  Bytes block(ZSTD_compressBound(plain.size()));
  ZSTD_CCtx* context = ZSTD_createCCtx();
  if (context == nullptr) return fail(Errc::bug, "no memory to compress a block of samples");
  ZSTD_CCtx_setParameter(context, ZSTD_c_compressionLevel, zstd_level);
  ZSTD_CCtx_setParameter(context, ZSTD_c_checksumFlag, 1);
  const std::size_t size = ZSTD_compress2(context, block.data(), block.size(), plain.data(), plain.size());
  ZSTD_freeCCtx(context);
  if (ZSTD_isError(size) != 0) return fail(Errc::bug, std::string("zstd: ") + ZSTD_getErrorName(size));
  block.resize(size);
  return block;
}

Result<std::vector<Sample>> decode_samples(std::span<const unsigned char> block) {
  auto plain = unpack(block);
  if (!plain) return pass(plain);
  Reader in{*plain};
  if (in.byte() != format_version) return damaged("unknown format");
  const std::uint64_t count = in.varint();
  if (!in.ok || count > samples_per_block_max) return damaged("impossible count");
  std::vector<Sample> samples(static_cast<std::size_t>(count));
  const Column time = read_column(in, samples.size(), Scale::nano);
  std::uint64_t step = 0;
  for (std::size_t i = 0; i < samples.size(); ++i) {
    step += static_cast<std::uint64_t>(in.zigzag());
    samples[i].step = static_cast<int>(step);
  }
  const Column volts = read_column(in, samples.size(), Scale::micro);
  const Column amps = read_column(in, samples.size(), Scale::micro);
  const Column degrees = read_column(in, samples.size(), Scale::micro);
  for (std::size_t i = 0; i < samples.size(); ++i) {
    if (!time[i]) return damaged("a sample without time");
    samples[i].at = Second(*time[i]);
    if (volts[i]) samples[i].volts = Volt(*volts[i]);
    if (amps[i]) samples[i].amps = Ampere(*amps[i]);
    if (degrees[i]) samples[i].temperature = Celsius(*degrees[i]);
  }
  if (!in.ok || in.at != in.bytes.size()) return damaged("wrong length");
  return samples;
}

}  // namespace leadwright
