// SPDX-License-Identifier: Apache-2.0
#include "drivers/pattern.h"

#include <regex.h>

namespace leadwright {

class Pattern::Compiled {
 public:
  explicit Compiled(const std::string& text)
      : is_valid_(::regcomp(&expression_, text.c_str(), REG_EXTENDED | REG_NOSUB) == 0) {}
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

Pattern::Pattern(const std::string& text) {
  // Checked alone first: "a)(b" must not become valid by our own brackets.
  if (Compiled(text).is_valid()) whole_ = std::make_shared<const Compiled>("^(" + text + ")$");
}

bool Pattern::matches_whole(const std::string& text) const {
  // C strings end at a NUL; text with one inside is no honest answer.
  return whole_ != nullptr && text.find('\0') == std::string::npos && whole_->matches(text);
}

}  // namespace leadwright
