// SPDX-License-Identifier: Apache-2.0
#include "tools/client/trace_view.h"

#include <boost/json/array.hpp>
#include <vector>

#include "tools/client/json_view.h"
#include "tools/client/table.h"

namespace leadwright {
namespace {

const char* arrow(const std::string& way) {
  return way == "out" ? ">" : way == "in" ? "<" : "*";
}

std::string bytes_of(const boost::json::value& line) {
  const auto& hex = member(line, "hex");
  if (!hex.is_null()) return words(hex);
  return words(member(line, "text"));
}

std::uint64_t count_at(const boost::json::value& from, std::string_view key) {
  const double value = number(member(from, key)).value_or(0.0);
  return value > 0.0 && value < 9e15 ? static_cast<std::uint64_t>(value) : 0;
}

}  // namespace

Result<std::string> TraceView::take(const std::string& body) {
  const auto trace = parse_json(body);
  if (!trace || !member(*trace, "lines").is_array()) {
    return fail(Errc::garbled, "the bench's answer is not a trace", "instrument");
  }
  std::string lost;
  std::vector<std::vector<std::string>> rows;
  const std::uint64_t oldest = count_at(*trace, "oldest");
  if (newest_ > 0 && oldest > newest_ + 1) {
    lost = std::to_string(oldest - newest_ - 1);
    lost.append(" lines came and went in between\n");
  }
  for (const auto& line : member(*trace, "lines").get_array()) {
    rows.push_back({words(member(line, "at")), decimal(number(member(line, "machine_s")).value_or(0.0), 6),
                    arrow(words(member(line, "way"))), bytes_of(line)});
  }
  newest_ = count_at(*trace, "newest");
  is_on_ = words(member(*trace, "on")) == "true";
  return lost + table(rows);
}

}  // namespace leadwright
