// SPDX-License-Identifier: Apache-2.0
// The JSON object that comes with a request, read strictly: an unknown key is an error with a near match.
#pragma once

#include <initializer_list>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <variant>

#include "protocol/result.h"

namespace leadwright {

class Arguments {
 public:
  /// An empty body counts as {}. Fails with bad_input. Values may be text, numbers or truth values.
  static Result<Arguments> parse(std::string_view body, std::initializer_list<std::string_view> keys);

  std::optional<std::string> text(std::string_view key) const;
  std::optional<double> number(std::string_view key) const;
  std::optional<bool> truth(std::string_view key) const;

 private:
  std::map<std::string, std::variant<std::string, double, bool>, std::less<>> values_;
};

}  // namespace leadwright
