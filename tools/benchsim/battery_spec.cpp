// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/battery_spec.h"

#include <charconv>
#include <string>

#include "tools/benchsim/cell_battery.h"
#include "tools/benchsim/lithium_battery.h"
#include "tools/benchsim/replay_battery.h"

namespace leadwright {

namespace {

struct Kind {
  const char* name;
  double charged;
  double wear;
  CellFault fault;
  int faulty_cells;  // of six
};

constexpr Kind kinds[] = {
    {"sound", 0.98, 1.0, CellFault::none, 0},
    {"discharged", 0.22, 1.0, CellFault::none, 0},
    {"worn", 0.97, 0.33, CellFault::none, 0},
    {"weak_cell", 0.97, 1.0, CellFault::low_capacity, 1},
    {"shorted_cell", 0.95, 1.0, CellFault::shorted, 1},
    {"open", 0.98, 1.0, CellFault::open, 1},
    {"high_resistance", 0.98, 1.0, CellFault::high_resistance, 1},
    {"sulphated", 0.45, 1.0, CellFault::sulphated, 6},
    {"dried_out", 0.95, 1.0, CellFault::dried_out, 6},
    {"reversed_cell", 0.90, 1.0, CellFault::reversed, 1},
    {"self_discharge", 0.95, 1.0, CellFault::self_discharge, 1},
    {"reversed", 0.40, 1.0, CellFault::none, 0},
    {"six_volt", 0.98, 1.0, CellFault::none, 0},
};

Result<double> number(std::string_view text, double least, double most) {
  double value = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size() || !(value >= least && value <= most)) {
    return fail(Errc::bad_input, "out of range or no number: " + std::string(text), "battery");
  }
  return value;
}

Result<void> set_key(CellBatteryMake& make, std::string_view key, std::string_view text) {
  if (key == "build") {
    const auto build = cell_build_of(text);
    if (build) make.build = *build;
    return build ? Result<void>()
                 : fail(Errc::bad_input, "no such build of a cell: " + std::string(text), "battery",
                        "one of flooded, efb, agm, gel");
  }
  const bool part = key == "charged" || key == "wear";
  auto value = number(text, key == "cells" ? 3.0 : 0.0, part ? 1.0 : 300.0);
  if (!value) return pass(value);
  if (key == "c20_ah" && *value >= 5.0) {
    make.c20 = ampere_hours(*value);
  } else if (key == "charged") {
    make.charged = *value;
  } else if (key == "wear" && *value >= 0.1) {
    make.wear = *value;
  } else if (key == "cells" && (*value == 3.0 || *value == 6.0)) {
    make.cells = static_cast<int>(*value);
  } else if (key == "ambient_degc" && *value <= 60.0) {
    make.ambient = Celsius(*value);
  } else {
    return fail(Errc::bad_input, "no such key, or value out of range: " + std::string(key), "battery",
                "keys: c20_ah (5-300), charged, wear (0-1), cells (3 or 6), ambient_degc (0-60), build");
  }
  return {};
}

Result<std::unique_ptr<SimBattery>> cell_battery(std::string_view rest) {
  const std::string_view name = rest.substr(0, rest.find(','));
  rest.remove_prefix(name.size());
  for (const Kind& kind : kinds) {
    if (name != kind.name) continue;
    CellBatteryMake make;
    make.kind = kind.name;
    make.charged = kind.charged;
    make.wear = kind.wear;
    make.fault = kind.fault;
    make.faulty_cells = kind.faulty_cells;
    make.stands_reversed = name == "reversed";
    if (name == "six_volt") make.cells = 3;
    while (!rest.empty()) {
      rest.remove_prefix(1);
      const std::string_view pair = rest.substr(0, rest.find(','));
      rest.remove_prefix(pair.size());
      const std::size_t equals = std::min(pair.find('='), pair.size());
      const std::string_view text = pair.substr(std::min(equals + 1, pair.size()));
      if (auto set = set_key(make, pair.substr(0, equals), text); !set) return pass(set);
    }
    return std::make_unique<CellBattery>(std::move(make));
  }
  std::string known;
  for (const Kind& kind : kinds) known += std::string(known.empty() ? "" : ", ") + kind.name;
  return fail(Errc::bad_input, "no such kind of battery: " + std::string(name), "battery", "one of " + known);
}

}  // namespace

Result<std::unique_ptr<SimBattery>> make_battery(std::string_view spec) {
  if (spec == "lithium") return std::make_unique<LithiumBattery>();
  if (spec.starts_with("cell:")) return cell_battery(spec.substr(5));
  if (spec.starts_with("replay:")) {
    auto trace = load_replay(std::string(spec.substr(7)));
    if (!trace) return pass(trace);
    return std::make_unique<ReplayBattery>(std::make_shared<const ReplayTrace>(std::move(*trace)));
  }
  return fail(Errc::bad_input, "can't read the battery: " + std::string(spec), "battery",
              "write cell:KIND, replay:/path.csv or lithium");
}

}  // namespace leadwright
