// SPDX-License-Identifier: Apache-2.0
// A POSIX extended regular expression, for the identities in profiles. Stands for <regex.h>: std::regex
// recurses once for each character and does not build without warnings under GCC 12's sanitizers. Immutable;
// any thread.
#pragma once

#include <memory>
#include <string>

namespace leadwright {

class Pattern {
 public:
  /// Matches nothing.
  Pattern() = default;
  explicit Pattern(const std::string& text);

  /// False too for what is no expression.
  bool is_valid() const { return whole_ != nullptr; }
  bool matches_whole(const std::string& text) const;

 private:
  class Compiled;
  std::shared_ptr<const Compiled> whole_;
};

}  // namespace leadwright
