// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/nameplate.h"

#include <array>
#include <charconv>
#include <utility>

namespace leadwright {
namespace {

constexpr std::array<std::pair<Chemistry, const char*>, 8> chemistry_words{{
    {Chemistry::flooded, "flooded"},
    {Chemistry::efb, "efb"},
    {Chemistry::agm, "agm"},
    {Chemistry::gel, "gel"},
    {Chemistry::lead, "lead"},
    {Chemistry::lithium, "lithium"},
    {Chemistry::other, "other"},
    {Chemistry::unknown, "unknown"},
}};

constexpr std::array<std::pair<RatingStandard, const char*>, 6> standard_words{{
    {RatingStandard::sae, "sae"},
    {RatingStandard::en, "en"},
    {RatingStandard::iec, "iec"},
    {RatingStandard::jis, "jis"},
    {RatingStandard::gb, "gb"},
    {RatingStandard::unknown, "unknown"},
}};

std::optional<int> digits(std::string_view text) {
  int value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size() || text.empty() || text.front() == '-')
    return {};
  return value;
}

int days_in(int year, int month) {
  constexpr std::array<int, 12> days{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  const bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
  return month == 2 && leap ? 29 : days[static_cast<std::size_t>(month - 1)];
}

bool is_date(std::string_view text) {
  if (text.size() != 7 && text.size() != 10) return false;
  if (text[4] != '-' || (text.size() == 10 && text[7] != '-')) return false;
  const auto year = digits(text.substr(0, 4));
  const auto month = digits(text.substr(5, 2));
  if (!year || !month || *year < 1980 || *month < 1 || *month > 12) return false;
  if (text.size() == 7) return true;
  const auto day = digits(text.substr(8, 2));
  return day && *day >= 1 && *day <= days_in(*year, *month);
}

template <class Q>
void check_range(std::vector<Error>& errors, const std::optional<Rating<Q>>& rating, Q lowest, Q highest,
                 const char* where, const char* range) {
  if (!rating || (rating->value >= lowest && rating->value <= highest)) return;
  errors.push_back(Error{Errc::bad_input, "no starter battery has this rating", where,
                         std::string("copy it from the label; ") + range + " is possible"});
}

}  // namespace

const char* word(Chemistry chemistry) {
  for (const auto& [value, text] : chemistry_words)
    if (value == chemistry) return text;
  return "unknown";
}

const char* word(RatingStandard standard) {
  for (const auto& [value, text] : standard_words)
    if (value == standard) return text;
  return "unknown";
}

std::optional<Chemistry> chemistry_of(std::string_view word) {
  for (const auto& [value, text] : chemistry_words)
    if (word == text) return value;
  return {};
}

std::optional<RatingStandard> rating_standard_of(std::string_view word) {
  for (const auto& [value, text] : standard_words)
    if (word == text) return value;
  return {};
}

std::vector<Error> implausible(const Nameplate& nameplate) {
  std::vector<Error> errors;
  if (nameplate.cells != 3 && nameplate.cells != 6) {
    errors.push_back(Error{Errc::bad_input,
                           "a starter battery has 3 or 6 cells, not " + std::to_string(nameplate.cells),
                           "cells", "count the cells: 6 for 12 V, 3 for 6 V"});
  }
  check_range(errors, nameplate.cca, Ampere(50.0), Ampere(2000.0), "cca", "50 A to 2000 A");
  check_range(errors, nameplate.reserve_capacity, minutes(10.0), minutes(600.0), "reserve_capacity",
              "10 min to 600 min");
  check_range(errors, nameplate.c20, ampere_hours(5.0), ampere_hours(300.0), "c20", "5 Ah to 300 Ah");
  if (!nameplate.manufactured_on.empty() && !is_date(nameplate.manufactured_on)) {
    errors.push_back(Error{Errc::bad_input, "\"" + nameplate.manufactured_on + "\" is not a date",
                           "manufactured_on", "write 2024-03 or 2024-03-15, or leave it empty if unknown"});
  }
  return errors;
}

Celsius reference_temperature(RatingStandard standard) {
  return standard == RatingStandard::sae ? Celsius(26.7) : Celsius(25.0);
}

}  // namespace leadwright
