// SPDX-License-Identifier: Apache-2.0
// A list of parts as CSV: what is taken is found by its number in any case, and is what a label may say.
#include "daemon/store/part_table.h"

#include <string>

#include "daemon/battery/nameplate.h"
#include "daemon/store/csv_line.h"
#include "protocol/utf8.h"
#include "tests/fuzz/target.h"

namespace leadwright {
namespace {

std::string turned(std::string text) {
  for (char& each : text) {
    if (each >= 'a' && each <= 'z') {
      each = static_cast<char>(each - 'a' + 'A');
    } else if (each >= 'A' && each <= 'Z') {
      each = static_cast<char>(each - 'A' + 'a');
    }
  }
  return text;
}

/// Any field may be a number of a part: which column has them, the first line says.
std::size_t check_line(const PartTable& parts, std::string_view line) {
  if (line.ends_with('\r')) line.remove_suffix(1);
  const auto fields = fields_of(line);
  if (!fields) return 0;
  std::size_t found = 0;
  for (const std::string& field : *fields) {
    const Nameplate* plate = parts.find(field);
    std::string other(" ");
    other.append(turned(field)).append(" ");
    promise(plate == parts.find(other), "neither case nor spaces matter");
    if (plate == nullptr) continue;
    ++found;
    promise(implausible(*plate).empty(), "an implausible label is refused");
    promise(plate->cells > 0, "every part has its cells");
  }
  return found;
}

void check_taken(const PartTable& parts, std::string_view text) {
  if (text.starts_with("\xef\xbb\xbf")) text.remove_prefix(3);
  std::size_t found = 0;
  while (!text.empty()) {
    const auto end = text.find('\n');
    found += check_line(parts, text.substr(0, end));
    text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
  }
  promise(found >= parts.size(), "each part comes from a line");
}

}  // namespace
}  // namespace leadwright

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using leadwright::promise;
  const std::string_view text = leadwright::text_of(data, size);
  const auto parts = leadwright::read_parts(text, "parts.csv");
  if (parts) {
    leadwright::check_taken(*parts, text);
    return 0;
  }
  promise(!parts.error().empty(), "a refusal has a reason");
  for (const leadwright::Error& error : parts.error()) {
    promise(error.code == leadwright::Errc::bad_input, "a refusal is bad input");
    promise(error.where.starts_with("parts.csv:"), "a reason says where");
    promise(!error.what.empty() && !error.mend.empty(), "a reason says what is wrong and how to mend it");
  }
  return 0;
}
