// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/age.h"

#include <chrono>

namespace leadwright {

namespace {

using std::chrono::sys_days;
using std::chrono::year_month_day;

constexpr double seconds_of_a_day = 86400.0;
constexpr std::size_t month_length = 7;  // "2024-03"
constexpr std::size_t day_length = 10;   // "2024-03-15"

sys_days day_of(Utc at) {
  return std::chrono::floor<std::chrono::days>(
      std::chrono::sys_time<std::chrono::nanoseconds>(std::chrono::nanoseconds(at.ns())));
}

bool is_same_month(year_month_day one, year_month_day other) {
  return one.year() / one.month() == other.year() / other.month();
}

}  // namespace

std::optional<Utc> date_of(std::string_view written) {
  if (written.size() == day_length) return Utc::parse(written);
  if (written.size() != month_length) return std::nullopt;
  const auto first = Utc::parse_from_month(written);
  if (!first) return std::nullopt;
  const year_month_day day(day_of(*first));
  const sys_days last(day.year() / day.month() / std::chrono::last);
  return *first + Second(seconds_of_a_day * static_cast<double>((last - day_of(*first)).count()));
}

std::optional<int> days_since(std::string_view written, Utc to) {
  const auto from = date_of(written);
  if (!from) return std::nullopt;
  return static_cast<int>((day_of(to) - day_of(*from)).count());
}

std::optional<int> months_since(std::string_view written, Utc to) {
  const auto from = date_of(written);
  if (!from) return std::nullopt;
  const year_month_day first(day_of(*from));
  const year_month_day second(day_of(to));
  if (written.size() == month_length && is_same_month(first, second)) return 0;
  const auto months = (second.year() / second.month() - first.year() / first.month()).count();
  return static_cast<int>(months) - (second.day() < first.day() ? 1 : 0);
}

}  // namespace leadwright
