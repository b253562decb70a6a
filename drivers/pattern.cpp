// SPDX-License-Identifier: Apache-2.0
#include "drivers/pattern.h"

#include <regex.h>

namespace leadwright {

namespace {

class Compiled {
 public:
  explicit Compiled(const std::string& pattern)
      : is_valid_(::regcomp(&expression_, pattern.c_str(), REG_EXTENDED | REG_NOSUB) == 0) {}
  Compiled(const Compiled&) = delete;
  Compiled& operator=(const Compiled&) = delete;
  ~Compiled() {
    if (is_valid_) ::regfree(&expression_);
  }
  bool is_valid() const { return is_valid_; }
  bool matches(const std::string& text) const {
    return is_valid_ && ::regexec(&expression_, text.c_str(), 0, nullptr, 0) == 0;
  }

 private:
  regex_t expression_{};
  bool is_valid_;
};

}  // namespace

bool is_pattern(const std::string& pattern) {
  return Compiled(pattern).is_valid();
}

bool matches_whole(const std::string& pattern, const std::string& text) {
  // Checked alone first: "a)(b" must not become valid by our own brackets.
  // C strings end at a NUL; text with one inside is no honest answer.
  if (text.find('\0') != std::string::npos) return false;
  return is_pattern(pattern) && Compiled("^(" + pattern + ")$").matches(text);
}

}  // namespace leadwright
