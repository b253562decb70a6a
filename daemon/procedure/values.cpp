// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
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
constexpr Unit in_kelvin_per_second{0, 0, -1, 1, false};

struct NameRow {
  const char* word;
  Name name;
  Unit unit;
  bool live;
};

constexpr std::array<NameRow, static_cast<std::size_t>(Name::count_)> names{{
    {"cells", Name::cells, in_number, false},
    {"cca", Name::cca, in_ampere, false},
    {"cranking_load", Name::cranking_load, in_ampere, false},
    {"reserve_capacity", Name::reserve_capacity, in_second, false},
    {"c20", Name::c20, in_coulomb, false},
    {"capacity", Name::capacity, in_coulomb, false},
    {"charge_volts", Name::charge_volts, in_volt, false},
    {"load_amps_max", Name::load_amps_max, in_ampere, false},
    {"charger_amps_max", Name::charger_amps_max, in_ampere, false},
    {"ocv_found", Name::ocv_found, in_volt, false},
    {"soc_found", Name::soc_found, in_number, false},
    {"resistance_found", Name::resistance_found, in_ohm, false},
    {"reserve_capacity_found", Name::reserve_capacity_found, in_second, false},
    {"volts", Name::volts, in_volt, true},
    {"amps", Name::amps, in_ampere, true},
    {"case_temperature", Name::case_temperature, in_kelvin, true},
    {"step_time", Name::step_time, in_second, true},
    {"run_time", Name::run_time, in_second, true},
    {"step_charge", Name::step_charge, in_coulomb, true},
    {"slope", Name::slope, in_volt_per_second, true},
    {"amps_change", Name::amps_change, in_per_second, true},
    {"cell_volts", Name::cell_volts, in_volt, true},
    {"run_charge", Name::run_charge, in_coulomb, true},
    {"step_energy", Name::step_energy, in_joule, true},
    {"warming", Name::warming, in_kelvin_per_second, true},
    {"forecast_end_max", Name::forecast_end_max, in_second, true},
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

std::vector<std::string> known_names() {
  std::vector<std::string> words;
  words.reserve(names.size());
  for (const NameRow& known : names) words.emplace_back(known.word);
  return words;
}

std::optional<std::size_t> Scope::add(OwnName name) {
  const auto is_letter = [](char c) { return c >= 'a' && c <= 'z'; };
  const auto is_part = [&](char c) { return is_letter(c) || c == '_' || (c >= '0' && c <= '9'); };
  const bool is_word = !name.word.empty() && is_letter(name.word.front()) &&
                       std::all_of(name.word.begin(), name.word.end(), is_part);
  // A unit's word would make "2 name" ambiguous, a joint or a function could not be written at all.
  constexpr std::array<std::string_view, 4> reserved{"and", "or", "min", "max"};
  const bool is_reserved = std::find(reserved.begin(), reserved.end(), name.word) != reserved.end();
  if (!is_word || is_reserved || unit_word(name.word) || name_of(name.word) || find(name.word) ||
      names_.size() == names_max) {
    return {};
  }
  names_.push_back(std::move(name));
  return names_.size() - 1;
}

std::optional<std::size_t> Scope::find(std::string_view word) const {
  for (std::size_t slot = 0; slot < names_.size(); ++slot)
    if (names_[slot].word == word) return slot;
  return {};
}

void Values::enter(std::size_t frame) {
  if (frame >= frames_.size()) frames_.resize(frame + 1);
  frame_ = frame;
}

void Values::set_own(std::size_t slot, std::optional<double> si) {
  std::vector<std::optional<double>>& own = frames_[frame_];
  if (slot >= own.size()) own.resize(slot + 1);
  own[slot] = si;
}

std::optional<double> Values::own(std::size_t slot) const {
  const std::vector<std::optional<double>>& own = frames_[frame_];
  return slot < own.size() ? own[slot] : std::nullopt;
}

}  // namespace leadwright
