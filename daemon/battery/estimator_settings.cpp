// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/estimator_settings.h"

#include <type_traits>

#include "daemon/battery/uncertainty.h"
#include "protocol/toml_reader.h"

namespace leadwright {
namespace {

struct Bounds {
  double lowest;
  double highest;
};

void read_number(const TomlTable& table, std::string_view key, Bounds bounds, double& value) {
  const auto number = table.number(key);
  if (!number) return;
  if (*number < bounds.lowest || *number > bounds.highest) {
    table.error(key, "outside what is possible",
                "write a number from " + fixed(bounds.lowest, 3) + " to " + fixed(bounds.highest, 3));
    return;
  }
  value = *number;
}

void read_acid(const TomlTable& table, AcidSettings& acid) {
  read_number(table, "hydrometer_limit", {0.0, 0.05}, acid.hydrometer_limit.value);
  read_number(table, "reading_limit", {0.0, 0.05}, acid.reading_limit.value);
  read_number(table, "per_10_degf_limit", {0.0, 0.004}, acid.per_10_degf_limit.value);
  const auto read_si = [&table](const char* key, double highest, auto& quantity) {
    double value = quantity.si();
    read_number(table, key, {0.0, highest}, value);
    quantity = std::remove_reference_t<decltype(quantity)>(value);
  };
  read_si("thermometer_limit_k", 10.0, acid.thermometer_limit);
  read_si("cell_volts_limit_v", 0.05, acid.cell_volts_limit);
  read_si("u_battery_k", 20.0, acid.u_battery);
}

tl::expected<EstimatorSettings, std::vector<Error>> read(TomlDocument document) {
  EstimatorSettings settings;
  const TomlTable& root = document.root();
  read_number(root, "rc_temperature_coefficient_per_k", {0.0, 0.02},
              settings.rc_temperature_coefficient_per_k);
  read_number(root, "u_rc_temperature_coefficient_per_k", {0.0, 0.01},
              settings.u_rc_temperature_coefficient_per_k);
  read_number(root, "peukert", {1.0, 1.6}, settings.peukert);
  read_number(root, "u_peukert", {0.0, 0.5}, settings.u_peukert);
  read_number(root, "u_battery_repeatability", {0.0, 0.2}, settings.u_battery_repeatability);
  double kelvin = settings.u_case_to_electrolyte.si();
  read_number(root, "u_case_to_electrolyte_k", {0.0, 10.0}, kelvin);
  settings.u_case_to_electrolyte = Kelvin(kelvin);
  read_number(root, "usual_cca_per_ah", {6.0, 20.0}, settings.usual_cca_per_ah);
  if (const auto forecast = root.table("forecast")) {
    read_number(*forecast, "weak_cell_share", {0.0, 0.5}, settings.forecast.weak_cell_share);
    read_number(*forecast, "spent_plates_share", {0.0, 0.5}, settings.forecast.spent_plates_share);
    read_number(*forecast, "unwarned_from", {0.0, 0.95}, settings.forecast.unwarned_from);
    read_number(*forecast, "label_share", {0.1, 1.2}, settings.forecast.label_share);
    read_number(*forecast, "label_spread", {0.05, 1.0}, settings.forecast.label_spread);
    read_number(*forecast, "earlier_spread", {0.02, 1.0}, settings.forecast.earlier_spread);
  }
  if (const auto acid = root.table("acid")) read_acid(*acid, settings.acid);
  document.finish();
  if (!document.errors().empty()) return tl::unexpected(document.errors());
  return settings;
}

}  // namespace

tl::expected<EstimatorSettings, std::vector<Error>> read_estimator_settings(std::string_view text,
                                                                            const std::string& file) {
  return read(TomlDocument::parse(text, file));
}

tl::expected<EstimatorSettings, std::vector<Error>> load_estimator_settings(const std::string& path) {
  return read(TomlDocument::load(path));
}

}  // namespace leadwright
