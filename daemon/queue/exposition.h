// SPDX-License-Identifier: Apache-2.0
// Metrics as text that Prometheus reads: exposition format, version 0.0.4
// (https://prometheus.io/docs/instrumenting/exposition_formats/). Pure; any thread.
#pragma once

#include <cstdint>
#include <initializer_list>
#include <string>
#include <string_view>

namespace leadwright {

class Exposition {
 public:
  struct Label {
    std::string_view name;
    std::string_view value;  ///< any bytes; escaped here
  };
  using Labels = std::initializer_list<Label>;

  /// Opens a family: its samples follow at once, before the next family. `type` is counter (name ends with
  /// _total), gauge or histogram; the unit, if any, is the last word of the name but for _total.
  void family(std::string_view name, std::string_view type, std::string_view help);
  /// One sample of the open family. `suffix` is for histograms: "_bucket", "_sum", "_count".
  void sample(Labels labels, std::uint64_t value, std::string_view suffix = {});
  /// As above; `number` is a decimal number, "+Inf", "-Inf" or "NaN".
  void sample(Labels labels, std::string_view number, std::string_view suffix = {});

  const std::string& text() const { return text_; }

 private:
  std::string name_;
  std::string text_;
};

}  // namespace leadwright
