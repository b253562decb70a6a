// SPDX-License-Identifier: Apache-2.0
#include <array>
#include <utility>

#include "daemon/procedure/expression_node.h"

namespace leadwright {
namespace {

constexpr Unit in_number{};
constexpr Unit in_volt{1, 0, 0, 0, false};
constexpr Unit in_ampere{0, 1, 0, 0, false};
constexpr Unit in_second{0, 0, 1, 0, false};
constexpr Unit in_kelvin{0, 0, 0, 1, false};
constexpr Unit in_coulomb{0, 1, 1, 0, false};
constexpr Unit in_watt{1, 1, 0, 0, false};
constexpr Unit in_joule{1, 1, 1, 0, false};
constexpr Unit in_ohm{1, -1, 0, 0, false};
constexpr Unit in_volt_per_second{1, 0, -1, 0, false};
constexpr Unit in_per_second{0, 0, -1, 0, false};

struct NameRow {
  const char* word;
  Name name;
  Unit unit;
  bool live;
};

constexpr std::array<NameRow, static_cast<std::size_t>(Name::count_)> names{{
    {"cells", Name::cells, in_number, false},
    {"cca", Name::cca, in_ampere, false},
    {"reserve_capacity", Name::reserve_capacity, in_second, false},
    {"c20", Name::c20, in_coulomb, false},
    {"capacity", Name::capacity, in_coulomb, false},
    {"charge_volts", Name::charge_volts, in_volt, false},
    {"volts", Name::volts, in_volt, true},
    {"amps", Name::amps, in_ampere, true},
    {"case_temperature", Name::case_temperature, in_kelvin, true},
    {"step_time", Name::step_time, in_second, true},
    {"run_time", Name::run_time, in_second, true},
    {"step_charge", Name::step_charge, in_coulomb, true},
    {"slope", Name::slope, in_volt_per_second, true},
    {"amps_change", Name::amps_change, in_per_second, true},
}};

constexpr bool rows_are_in_order() {
  for (std::size_t i = 0; i < names.size(); ++i)
    if (static_cast<std::size_t>(names[i].name) != i) return false;
  return true;
}
static_assert(rows_are_in_order());

constexpr std::array<std::pair<std::string_view, UnitWord>, 15> units{{
    {"V", {in_volt, 1.0}},
    {"mV", {in_volt, 1e-3}},
    {"A", {in_ampere, 1.0}},
    {"mA", {in_ampere, 1e-3}},
    {"Ah", {in_coulomb, 3600.0}},
    {"W", {in_watt, 1.0}},
    {"Wh", {in_joule, 3600.0}},
    {"s", {in_second, 1.0}},
    {"min", {in_second, 60.0}},
    {"h", {in_second, 3600.0}},
    {"degC", {in_kelvin, 1.0}},
    {"K", {in_kelvin, 1.0}},
    {"ohm", {in_ohm, 1.0}},
    {"mohm", {in_ohm, 1e-3}},
    {"%", {in_number, 0.01}},
}};

const NameRow& row(Name name) {
  return names[static_cast<std::size_t>(name)];
}

void append(std::string& text, const char* symbol, int exponent) {
  if (exponent == 0) return;
  if (!text.empty()) text += ' ';
  text += symbol;
  if (exponent != 1) text.append("^").append(std::to_string(exponent));
}

}  // namespace

std::string Unit::text() const {
  if (truth) return "a condition";
  if (*this == in_number) return "a number";
  if (*this == in_ohm) return "ohm";
  if (*this == in_coulomb) return "A s";
  if (*this == in_watt) return "W";
  if (*this == in_joule) return "W s";
  if (*this == in_volt_per_second) return "V/s";
  if (*this == in_per_second) return "1/s";
  std::string result;
  append(result, "V", volt);
  append(result, "A", ampere);
  append(result, "s", second);
  append(result, "K", kelvin);
  return result;
}

std::optional<Name> name_of(std::string_view word) {
  for (const NameRow& known : names)
    if (word == known.word) return known.name;
  return {};
}

const char* word(Name name) {
  return row(name).word;
}
Unit unit_of(Name name) {
  return row(name).unit;
}
bool is_live(Name name) {
  return row(name).live;
}

std::optional<UnitWord> unit_word(std::string_view word) {
  for (const auto& [known, value] : units)
    if (word == known) return value;
  return {};
}

std::string known_names() {
  std::string text;
  for (const NameRow& known : names) text.append(text.empty() ? "" : " ").append(known.word);
  return text;
}

}  // namespace leadwright
