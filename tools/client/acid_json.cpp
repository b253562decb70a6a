// SPDX-License-Identifier: Apache-2.0
#include "tools/client/acid_json.h"

#include <fmt/format.h>

#include <boost/json/array.hpp>
#include <charconv>
#include <string_view>

#include "protocol/utf8.h"

namespace leadwright {
namespace {

namespace json = boost::json;

/// "-" is a cell that was not read.
Result<json::value> gravity_of(std::string_view text) {
  if (text == "-") return json::value(nullptr);
  double value = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error == std::errc() && end == text.data() + text.size()) return json::value(value);
  return fail(Errc::bad_input, fmt::format("\"{}\" is no specific gravity", text), "--gravity",
              "write them as 1.265,1.260,-,1.265 from the positive post on; - is a cell that was not read");
}

}  // namespace

Result<void> set_acid(json::object& inspection, const AcidOptions& options) {
  if (options.gravity.empty() && !options.acid_degc) return {};
  if (options.gravity.empty() || !options.acid_degc) {
    return fail(Errc::bad_input, "specific gravities and the temperature of the acid belong together",
                options.gravity.empty() ? "--acid-degc" : "--gravity", "give both, or none");
  }
  json::array gravity;
  std::string_view rest = options.gravity;
  while (true) {
    const auto comma = rest.find(',');
    auto read = gravity_of(trimmed(rest.substr(0, comma)));
    if (!read) return tl::unexpected<Error>(read.error());
    gravity.push_back(std::move(*read));
    if (comma == std::string_view::npos) break;
    rest.remove_prefix(comma + 1);
  }
  inspection["acid"] = json::object{{"gravity", std::move(gravity)}, {"acid_degc", *options.acid_degc}};
  return {};
}

}  // namespace leadwright
