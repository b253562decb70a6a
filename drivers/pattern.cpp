// SPDX-License-Identifier: Apache-2.0
#include "drivers/pattern.h"

#include <regex.h>

#include <utility>

namespace leadwright {

class Pattern::Compiled {
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
    return ::regexec(&expression_, text.c_str(), 0, nullptr, 0) == 0;
  }

 private:
  regex_t expression_{};
  bool is_valid_;
};

Pattern::Pattern(std::string text) : text_(std::move(text)) {
  // Checked alone first: "a)(b" must not become valid by our own brackets.
  if (!Compiled(text_).is_valid()) return;
  auto whole = std::make_shared<const Compiled>("^(" + text_ + ")$");
  if (whole->is_valid()) compiled_ = std::move(whole);
}

bool Pattern::matches_whole(const std::string& answer) const {
  // C strings end at a NUL; an answer with one inside is no honest one.
  return compiled_ && answer.find('\0') == std::string::npos && compiled_->matches(answer);
}

}  // namespace leadwright
