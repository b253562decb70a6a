// SPDX-License-Identifier: Apache-2.0
#include "daemon/clock/instant.h"

#include <array>
#include <charconv>
#include <chrono>
#include <cstdio>

namespace leadwright {

namespace {

// Whole years whose nanoseconds since 1970 fit into 64 bits.
constexpr int year_min = 1678;
constexpr int year_max = 2261;

std::optional<int> digits(std::string_view text, std::size_t at, std::size_t count) {
  if (text.size() < at + count) return std::nullopt;
  int value = 0;
  const char* first = text.data() + at;
  const auto [end, error] = std::from_chars(first, first + count, value);
  if (error != std::errc() || end != first + count || *first == '-') return std::nullopt;
  return value;
}

}  // namespace

std::string Utc::rfc3339() const {
  const std::chrono::sys_time<std::chrono::nanoseconds> at{std::chrono::nanoseconds(ns_)};
  const auto day = std::chrono::floor<std::chrono::days>(at);
  const std::chrono::year_month_day date{day};
  const std::chrono::hh_mm_ss<std::chrono::seconds> time{std::chrono::floor<std::chrono::seconds>(at - day)};
  std::array<char, 40> text{};
  const int size =
      std::snprintf(text.data(), text.size(), "%04d-%02u-%02uT%02d:%02d:%02dZ", static_cast<int>(date.year()),
                    static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()),
                    static_cast<int>(time.hours().count()), static_cast<int>(time.minutes().count()),
                    static_cast<int>(time.seconds().count()));
  return {text.data(), static_cast<std::size_t>(size)};
}

std::optional<Utc> Utc::parse(std::string_view text) {
  const auto year = digits(text, 0, 4);
  const auto month = digits(text, 5, 2);
  const auto day = digits(text, 8, 2);
  if (!year || !month || !day || text[4] != '-' || text[7] != '-') return std::nullopt;
  const std::chrono::year_month_day date{std::chrono::year(*year),
                                         std::chrono::month(static_cast<unsigned>(*month)),
                                         std::chrono::day(static_cast<unsigned>(*day))};
  if (!date.ok() || *year < year_min || *year > year_max) return std::nullopt;
  std::chrono::nanoseconds since = std::chrono::sys_days(date).time_since_epoch();
  if (text.size() > 10) {
    const auto hour = digits(text, 11, 2);
    const auto minute = digits(text, 14, 2);
    const auto second = digits(text, 17, 2);
    const bool shaped = hour && minute && second && text[10] == 'T' && text[13] == ':' && text[16] == ':' &&
                        text.back() == 'Z';
    if (!shaped || *hour > 23 || *minute > 59 || *second > 60) return std::nullopt;
    since += std::chrono::hours(*hour) + std::chrono::minutes(*minute) + std::chrono::seconds(*second);
  }
  return Utc(since.count());
}

std::optional<Utc> Utc::parse_from_month(std::string_view text) {
  constexpr std::size_t month_size = 7;
  if (text.size() == month_size) return parse(std::string(text).append("-01"));
  return parse(text);
}

}  // namespace leadwright
