// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/date_code.h"

#include <algorithm>
#include <charconv>
#include <functional>
#include <optional>

#include "protocol/ascii.h"

namespace leadwright {
namespace {

constexpr int oldest_years = 15;
constexpr std::size_t digits_max = 2;

struct Month {
  int year = 0;
  int month = 0;
  friend auto operator<=>(const Month&, const Month&) = default;
};

/// Of digits, as is_digit() has found them.
int number(std::string_view digits) {
  int value = 0;
  std::from_chars(digits.data(), digits.data() + digits.size(), value);
  return value;
}

bool is_digit(char letter) {
  return letter >= '0' && letter <= '9';
}

/// Numbers of one or two digits, apart by one blank, slash, dot or hyphen each; nothing for anything else.
std::vector<std::string> numbers_in(std::string_view text) {
  std::vector<std::string> numbers(1);
  for (const char letter : text) {
    if (is_digit(letter)) {
      numbers.back() += letter;
    } else if (std::string_view(" /.-").find(letter) != std::string_view::npos && !numbers.back().empty()) {
      numbers.emplace_back();
    } else {
      return {};
    }
  }
  const bool all_fit = std::ranges::all_of(
      numbers, [](const std::string& each) { return !each.empty() && each.size() <= digits_max; });
  return all_fit ? numbers : std::vector<std::string>{};
}

/// A is January. From I on two countings are in use, with and without the I.
std::vector<int> months_of_letter(char letter) {
  const char upper = upper_ascii(letter);
  if (upper < 'A' || upper > 'M') return {};
  const int counted = upper - 'A' + 1;
  if (upper < 'I') return {counted};
  std::vector<int> months;
  if (counted <= 12) months.push_back(counted);
  if (upper > 'I') months.push_back(counted - 1);
  return months;
}

/// Years that end with these digits, as far back as a battery may be old.
std::vector<int> years_of(const std::string& digits, int latest) {
  const int step = digits.size() == 1 ? 10 : 100;
  const int ends = number(digits);
  std::vector<int> years;
  for (int year = latest; year >= latest - oldest_years; --year) {
    if (year % step == ends) years.push_back(year);
  }
  return years;
}

std::optional<Month> month_of(Utc at) {
  const std::string text = at.rfc3339();
  if (text.size() < 7) return std::nullopt;
  return Month{number(text.substr(0, 4)), number(text.substr(5, 2))};
}

std::string shown_month(Month at) {
  std::string text = std::to_string(at.year);
  return text.append(at.month < 10 ? "-0" : "-").append(std::to_string(at.month));
}

}  // namespace

std::vector<std::string> months_of_date_code(std::string_view code, Utc latest) {
  const auto newest = month_of(latest);
  if (code.empty() || !newest) return {};
  std::vector<int> months;
  std::string year_digits;
  if (!is_digit(code.front())) {
    months = months_of_letter(code.front());
    code.remove_prefix(1);
    if (!code.empty() && code.front() == ' ') code.remove_prefix(1);
    const auto numbers = numbers_in(code);
    if (numbers.size() == 1) year_digits = numbers.front();
  } else if (const auto numbers = numbers_in(code); numbers.size() == 2 || numbers.size() == 3) {
    months.push_back(number(numbers[numbers.size() - 2]));
    const bool has_day = numbers.size() == 3;
    const int day = has_day ? number(numbers.front()) : 1;
    if (numbers.back().size() == digits_max && day >= 1 && day <= 31) year_digits = numbers.back();
  }
  if (year_digits.empty()) return {};
  std::vector<Month> meant;
  for (const int year : years_of(year_digits, newest->year)) {
    for (const int month : months) {
      const Month at{year, month};
      const bool is_too_old = at < Month{newest->year - oldest_years, newest->month};
      if (month >= 1 && month <= 12 && at <= *newest && !is_too_old) meant.push_back(at);
    }
  }
  std::ranges::sort(meant, std::greater<>());
  std::vector<std::string> texts;
  texts.reserve(meant.size());
  for (const Month at : meant) texts.push_back(shown_month(at));
  return texts;
}

}  // namespace leadwright
