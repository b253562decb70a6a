// SPDX-License-Identifier: Apache-2.0
// POSIX extended regular expressions, for the identities in profiles. Stands for <regex.h>: std::regex
// recurses once for each character and does not build without warnings under GCC 12's sanitizers.
#pragma once

#include <memory>
#include <string>

namespace leadwright {

/// Compiled once, shared by its copies. An empty one, and one that is no expression, match nothing.
class Pattern {
 public:
  Pattern() = default;
  explicit Pattern(std::string text);
  const std::string& text() const { return text_; }
  bool is_valid() const { return compiled_ != nullptr; }
  bool matches_whole(const std::string& answer) const;

 private:
  class Compiled;
  std::string text_;
  std::shared_ptr<const Compiled> compiled_;
};

}  // namespace leadwright
