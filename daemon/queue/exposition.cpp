// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/exposition.h"

#include "protocol/utf8.h"

namespace leadwright {

namespace {

/// A label's value between its quotes.
std::string escaped_value(std::string_view value) {
  std::string text;
  for (const char each : well_formed(value)) {
    if (each == '\\' || each == '"') text += '\\';
    if (each == '\n') {
      text += "\\n";
    } else {
      text += each;
    }
  }
  return text;
}

}  // namespace

void Exposition::family(std::string_view name, std::string_view type, std::string_view help) {
  name_ = name;
  text_.append("# HELP ").append(name).append(" ").append(help).append("\n");
  text_.append("# TYPE ").append(name).append(" ").append(type).append("\n");
}

void Exposition::sample(Labels labels, std::uint64_t value, std::string_view suffix) {
  sample(labels, std::to_string(value), suffix);
}

void Exposition::sample(Labels labels, std::string_view number, std::string_view suffix) {
  text_.append(name_).append(suffix);
  char before = '{';
  for (const Label& label : labels) {
    text_ += before;
    text_.append(label.name).append("=\"").append(escaped_value(label.value)).append("\"");
    before = ',';
  }
  text_.append(labels.size() > 0 ? "} " : " ").append(number).append("\n");
}

}  // namespace leadwright
