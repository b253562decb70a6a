// SPDX-License-Identifier: Apache-2.0
#include "daemon/settings/precautions_reader.h"

namespace leadwright {

namespace {
constexpr Second gas_off_max = hours(24.0);
}  // namespace

void read_precautions(const TomlTable& bench, Precautions& into) {
  if (const auto gas_off = bench.number("gas_off_s")) {
    into.gas_off = Second(*gas_off);
    if (!(*gas_off >= 0.0) || into.gas_off > gas_off_max) {
      bench.error("gas_off_s", "outside what makes sense", "0 to 86400; 3600 is common practice");
    }
  }
}

}  // namespace leadwright
