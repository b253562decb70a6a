// SPDX-License-Identifier: Apache-2.0
// Samples as a compressed column block. Pure; any thread. decode(encode(x)) gives x, bit for bit.
//
// A block is one zstd frame with checksum. Inside, in this order (numbers are LEB128 "varint"; "zigzag" maps
// 0, -1, 1, -2 to 0, 1, 2, 3; "delta" is the difference to the value before, which starts at 0):
//   byte      format, 1
//   varint    count of samples
//   column    time, seconds since the start of the run; always present
//   count x   step: delta, zigzag varint
//   column    volts
//   column    amps
//   column    temperature, degC
// column:
//   byte      presence: 1 all, 0 none, 2 a bit map follows: (count + 7) / 8 bytes, lowest bit first
//   byte      form: 0 raw, 1 scaled
//   raw       for each present value: its 8 bytes as IEEE 754, lowest first
//   scaled    for each present value: delta of the integer round(value x 1e9 for time, x 1e6 else), zigzag
//             varint. Used only if integer x 1e-9 (time) or integer / 1e6 gives every value back exactly.
#pragma once

#include <span>
#include <vector>

#include "daemon/battery/sample.h"
#include "daemon/store/database.h"

namespace leadwright {

/// Blocks beyond this are refused by both sides: 60 s of 10 samples/s are 600.
constexpr std::size_t samples_per_block_max = 65'536;

Result<Bytes> encode_samples(std::span<const Sample> samples);
/// Fails with garbled for anything that encode_samples did not make. Safe on hostile input.
Result<std::vector<Sample>> decode_samples(std::span<const unsigned char> block);

}  // namespace leadwright
