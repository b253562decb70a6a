// SPDX-License-Identifier: Apache-2.0
// The JSON object that comes with a request, read strictly: an unknown key is an error with a near match.
#pragma once

#include <cstdint>
#include <initializer_list>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "protocol/result.h"

namespace leadwright {

class Arguments {
 public:
  /// An empty body counts as {}. Fails with bad_input. Values are text, numbers or truth values, those of
  /// `objects` are objects.
  static Result<Arguments> parse(std::string_view body, std::initializer_list<std::string_view> keys,
                                 std::initializer_list<std::string_view> objects = {});

  std::optional<std::string> text(std::string_view key) const;
  std::optional<double> number(std::string_view key) const;
  /// A whole number that comes as text, as out of a query. Fails with bad_input for other text.
  Result<std::optional<std::uint64_t>> whole(std::string_view key) const;
  std::optional<bool> truth(std::string_view key) const;
  /// An object as JSON text.
  std::optional<std::string> object(std::string_view key) const;
  /// The members of an object whose values are text, in their order. Fails with bad_input for another value.
  Result<std::vector<std::pair<std::string, std::string>>> texts(std::string_view key) const;

 private:
  struct Object {
    std::string json;
  };
  std::map<std::string, std::variant<std::string, double, bool, Object>, std::less<>> values_;
};

}  // namespace leadwright
