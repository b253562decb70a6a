// SPDX-License-Identifier: Apache-2.0
#include "tools/client/table.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

namespace leadwright {
namespace {

std::size_t width(const std::string& text) {
  return static_cast<std::size_t>(std::count_if(
      text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

std::string harmless(std::string text) {
  for (char& c : text) {
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) c = '?';
  }
  return text;
}

}  // namespace

std::string table(const std::vector<std::vector<std::string>>& rows) {
  std::vector<std::size_t> widths;
  for (const auto& row : rows) {
    widths.resize(std::max(widths.size(), row.size()));
    for (std::size_t i = 0; i < row.size(); ++i) widths[i] = std::max(widths[i], width(row[i]));
  }
  std::string text;
  for (const auto& row : rows) {
    std::string line;
    for (std::size_t i = 0; i < row.size(); ++i) {
      line += harmless(row[i]);
      if (i + 1 < row.size()) line.append(widths[i] - width(row[i]) + 2, ' ');
    }
    line.erase(line.find_last_not_of(' ') + 1);
    text += line + "\n";
  }
  return text;
}

std::string decimal(double value, int digits) {
  std::array<char, 400> text{};
  const auto [end, error] =
      std::to_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed, digits);
  if (error != std::errc()) return "-";
  const std::string_view shown(text.data(), static_cast<std::size_t>(end - text.data()));
  const bool is_zero = shown.find_first_of("123456789") == std::string_view::npos;
  return std::string(shown.substr(is_zero && shown.front() == '-' ? 1 : 0));
}

std::string short_duration(double seconds) {
  if (!(seconds >= 0.0)) return "";
  const auto whole = static_cast<long long>(std::llround(std::min(seconds, 1e9)));
  if (whole < 90) return std::to_string(whole) + " s";
  const long long minutes = (whole + 30) / 60;
  if (minutes < 60) return std::to_string(minutes) + " min";
  const std::string rest = std::to_string(minutes % 60);
  return std::to_string(minutes / 60) + " h " + (rest.size() < 2 ? "0" + rest : rest) + " min";
}

}  // namespace leadwright
