// SPDX-License-Identifier: Apache-2.0
#include "tools/client/batch_rules.h"

#include <algorithm>
#include <array>
#include <sstream>

#include "daemon/store/csv_line.h"
#include "tools/client/amount.h"

namespace leadwright {
namespace {

constexpr std::array<std::string_view, 4> unsafe{"cracked", "leaking", "swollen", "frozen"};

bool is_known_sign(const std::string& seen) {
  return seen.empty() || seen == "terminals_damaged" || std::ranges::find(unsafe, seen) != unsafe.end();
}

Result<Core> core_of(const std::vector<std::string>& fields, std::size_t columns) {
  if (fields.size() != columns) return fail(Errc::bad_input, "it has not as many fields as the heading");
  if (fields[0].empty()) return fail(Errc::bad_input, "its serial is missing");
  const auto volts = amount_of(fields[1], {"volts", "V"});
  if (!volts) return tl::unexpected<Error>(volts.error());
  Core core{fields[0], *volts, columns > 2 ? fields[2] : ""};
  if (is_known_sign(core.seen)) return core;
  return fail(Errc::bad_input, "\"" + core.seen + "\" is no sign", "",
              "leave it empty, or cracked, leaking, swollen, frozen, terminals_damaged");
}

}  // namespace

std::string outcome_of(const std::vector<Core>& cores, std::size_t index, const BatchRules& rules) {
  const Core& core = cores.at(index);
  const auto end = cores.begin() + static_cast<std::ptrdiff_t>(index);
  if (std::ranges::find(unsafe, core.seen) != unsafe.end()) return "unsafe";
  if (std::find_if(cores.begin(), end, [&](const Core& other) { return other.serial == core.serial; }) != end)
    return "twice";
  if (core.volts_v > lead_cell_max_v * rules.cells) return "not_lead";
  return core.volts_v < rules.least_v ? "too_low" : "ticket";
}

Result<std::vector<Core>> cores_of(const std::string& csv) {
  std::vector<Core> cores;
  std::istringstream lines(csv);
  std::size_t columns = 0;
  int number = 0;
  for (std::string line; std::getline(lines, line);) {
    ++number;
    if (line.find_first_not_of(" \t\r") == std::string::npos) continue;
    const std::string where = "line " + std::to_string(number);
    auto fields = fields_of(line);
    if (!fields) return fail(Errc::bad_input, fields.error().what, where, fields.error().mend);
    if (columns == 0) {
      columns = fields->size();
      const std::vector<std::string> all{"serial", "volts", "seen"};
      if (columns >= 2 && columns <= 3 && std::equal(fields->begin(), fields->end(), all.begin())) continue;
      return fail(Errc::bad_input, "the heading is not serial,volts,seen", where,
                  "write it as the first line; seen may be left out");
    }
    auto core = core_of(*fields, columns);
    if (!core) return fail(Errc::bad_input, core.error().what, where, core.error().mend);
    cores.push_back(std::move(*core));
  }
  return cores;
}

}  // namespace leadwright
