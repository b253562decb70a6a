// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/policy_amounts.h"

#include <charconv>
#include <string>
#include <system_error>

#include "protocol/toml_reader.h"

namespace leadwright {

std::optional<double> read_amount(const TomlTable& root, std::string_view key, std::string_view unit,
                                  const AmountBounds& bounds) {
  const auto text = root.string(key);
  if (!text) return std::nullopt;
  double value = 0.0;
  const auto [end, error] = std::from_chars(text->data(), text->data() + text->size(), value);
  const std::string_view rest(end, text->size() - static_cast<std::size_t>(end - text->data()));
  const bool is_amount =
      error == std::errc() && rest.size() == unit.size() + 1 && rest.front() == ' ' && rest.substr(1) == unit;
  if (!is_amount || value < bounds.lowest || value > bounds.highest) {
    std::string mend("write an amount of ");
    root.error(key, "\"" + *text + "\" is not possible here", mend.append(bounds.range));
    return std::nullopt;
  }
  return value;
}

}  // namespace leadwright
