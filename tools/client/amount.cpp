// SPDX-License-Identifier: Apache-2.0
#include "tools/client/amount.h"

#include <charconv>
#include <cmath>
#include <utility>

namespace leadwright {

Result<double> amount_of(std::string_view text, AmountOption option) {
  double value = 0.0;
  const char* const last = text.data() + text.size();
  const auto [end, error] = std::from_chars(text.data(), last, value);
  std::string_view unit(end, static_cast<std::size_t>(last - end));
  while (!unit.empty() && unit.front() == ' ') unit.remove_prefix(1);
  const bool is_number = error == std::errc() && std::isfinite(value);
  if (!is_number || (!unit.empty() && unit != option.unit)) {
    std::string what = "not an amount in ";
    what.append(option.unit).append(": ").append(text);
    std::string mend = "write it like ";
    mend.append(option.name).append(" '100 ").append(option.unit).append("'");
    return fail(Errc::bad_input, std::move(what), std::string(option.name), std::move(mend));
  }
  return value;
}

}  // namespace leadwright
