// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/acid_json.h"

#include <algorithm>

#include "daemon/store/json_each.h"
#include "daemon/store/json_object.h"
#include "daemon/store/json_writer.h"

namespace leadwright {

namespace {

constexpr std::size_t acid_cells_max = 6;
/// Water, and more than any battery's acid (common practice, no source).
constexpr double gravity_least = 1.0;
constexpr double gravity_most = 1.4;
/// Below discharged acid is ice; above nobody opens a cell (common practice, no source).
constexpr double acid_degc_least = -10.0;
constexpr double acid_degc_most = 60.0;

Result<std::optional<SpecificGravity>> gravity_of(const boost::json::value& item) {
  if (item.is_null()) return std::optional<SpecificGravity>();
  if (!item.is_number()) return unreadable("not a specific gravity");
  return std::optional(SpecificGravity{item.to_number<double>()});
}

}  // namespace

std::string gravities_json(const std::vector<std::optional<SpecificGravity>>& gravity) {
  return json_array(gravity, [](const std::optional<SpecificGravity>& each) {
    return each ? json_number(each->value) : std::string("null");
  });
}

Result<std::vector<std::optional<SpecificGravity>>> gravities_of(std::string_view stored) {
  boost::json::error_code failed;
  const boost::json::value list =
      boost::json::parse(boost::json::string_view(stored.data(), stored.size()), failed);
  if (failed) return unreadable("no JSON");
  return each_of<std::optional<SpecificGravity>>(list, gravity_of);
}

std::string acid_json(const std::optional<AcidReading>& reading) {
  if (!reading) return "null";
  return ObjectText()
      .raw("gravity", gravities_json(reading->gravity))
      .add("acid_degc", reading->acid.degc())
      .add("at", reading->at)
      .take();
}

std::optional<AcidReading> read_acid(JsonObject acid) {
  AcidReading reading;
  for (const auto& each : acid.numbers_or_null("gravity", acid_cells_max))
    reading.gravity.push_back(each ? std::optional(SpecificGravity{*each}) : std::nullopt);
  const auto degc = acid.number_within("acid_degc", acid_degc_least, acid_degc_most);
  acid.finish();
  if (!degc && !acid.has("acid_degc")) {
    acid.error("acid_degc", "missing", "measure the temperature in the acid of a middle cell");
  }
  const auto is_wrong = [](const std::optional<SpecificGravity>& each) {
    return each && (each->value < gravity_least || each->value > gravity_most);
  };
  const auto wrong = std::ranges::find_if(reading.gravity, is_wrong);
  if (wrong != reading.gravity.end()) {
    acid.error("gravity", json_text((*wrong)->value) + " is no acid's specific gravity",
               "write it as 1.265; a cell that was not read is null");
    return std::nullopt;
  }
  const bool has_any =
      std::ranges::any_of(reading.gravity, [](const auto& each) { return each.has_value(); });
  if (!has_any) {
    acid.error("gravity", "no cell was read", "leave \"acid\" out, or write [1.265, null, 1.260]");
    return std::nullopt;
  }
  if (!degc) return std::nullopt;
  reading.acid = Celsius(*degc);
  return reading;
}

}  // namespace leadwright
