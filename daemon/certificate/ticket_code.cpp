// SPDX-License-Identifier: Apache-2.0
#include "daemon/certificate/ticket_code.h"

#include <fmt/format.h>

#include "daemon/certificate/barcode.h"

namespace leadwright {
namespace {

/// In modules; a sixth of the width of a ticket's code.
constexpr int bar_height = 24;

}  // namespace

Result<std::string> ticket_code_svg(const std::string& text) {
  auto code = code_128(text);
  if (!code) return pass(code);
  const auto& bars = code->rows.front();
  std::string path;
  for (std::size_t from = 0; from < bars.size();) {
    std::size_t to = from;
    while (to < bars.size() && bars[to] == bars[from]) ++to;
    if (bars[from]) {
      path +=
          fmt::format("M{} 0h{}v{}h-{}z", from + code_128_quiet_modules, to - from, bar_height, to - from);
    }
    from = to;
  }
  return fmt::format(
      R"(<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {0} {1}" shape-rendering="crispEdges">)"
      R"(<title>{2}</title><path fill="#fff" d="M0 0h{0}v{1}h-{0}z"/><path d="{3}"/></svg>)",
      bars.size() + std::size_t{2} * code_128_quiet_modules, bar_height, text, path);
}

}  // namespace leadwright
