// SPDX-License-Identifier: Apache-2.0
// Code 128 and QR as modules to be drawn. Pure; any thread.
#pragma once

#include <string>
#include <vector>

#include "protocol/result.h"

namespace leadwright {

/// Rows of modules, true is dark. A Code 128 has one row, whose height is the drawer's. The quiet zone (10
/// modules beside a Code 128, 4 around a QR) is the drawer's too.
struct Barcode {
  std::vector<std::vector<bool>> rows;
  std::size_t width() const { return rows.empty() ? 0 : rows.front().size(); }
};

inline constexpr int code_128_quiet_modules = 10;
inline constexpr int qr_quiet_modules = 4;

/// Fail with bad_input for a text that the code can't hold.
Result<Barcode> code_128(const std::string& text);
/// With error correction M: 15 % of it may be unreadable.
Result<Barcode> qr(const std::string& text);

}  // namespace leadwright
