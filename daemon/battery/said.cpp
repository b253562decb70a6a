// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/said.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

std::string filled(std::string_view english, const std::vector<PhraseValue>& values) {
  std::string text;
  while (!english.empty()) {
    const auto open = english.find('{');
    text.append(english.substr(0, open));
    if (open == std::string_view::npos) return text;
    const auto close = english.find('}', open);
    const std::string_view name = english.substr(open + 1, close - open - 1);
    const auto value = std::ranges::find(values, name, &PhraseValue::name);
    if (value != values.end()) {
      text.append(value->text);
      if (!value->unit.empty()) text.append(" ").append(value->unit);
    }
    english.remove_prefix(close == std::string_view::npos ? english.size() : close + 1);
  }
  return text;
}

/// Its phrases; of text that was kept without any, the text as somebody's own words.
Phrases told(const Sentence& sentence) {
  if (!sentence.phrases().empty() || sentence.text().empty()) return sentence.phrases();
  return {{"words", {said_words("words", sentence.text())}}};
}

}  // namespace

PhraseValue said_amount(std::string name, double value, int decimals, std::string unit) {
  return {std::move(name), fixed(value, decimals), std::move(unit), std::isfinite(value)};
}

PhraseValue said_count(std::string name, long long count) {
  return {std::move(name), std::to_string(count), {}, true};
}

PhraseValue said_words(std::string name, std::string words) {
  return {std::move(name), std::move(words)};
}

Sentence& Sentence::say(std::string_view code, std::string_view english,
                        const std::vector<PhraseValue>& values) {
  phrases_ = told(*this);
  text_.append(filled(english, values));
  phrases_.push_back({std::string(code), values});
  return *this;
}

Sentence& Sentence::add(const Sentence& more) {
  const Phrases added = told(more);
  if (!added.empty()) phrases_ = told(*this);
  text_.append(more.text_);
  phrases_.insert(phrases_.end(), added.begin(), added.end());
  return *this;
}

Sentence& Sentence::go_on(const Sentence& more) {
  if (!phrases_.empty() && phrases_.back().code == "full_stop") {
    phrases_.pop_back();
    text_.pop_back();
  }
  return add(more);
}

Sentence in_own_words(std::string words) {
  if (words.empty()) return {};
  return Sentence().add(Sentence(std::move(words), {}));
}

Sentence say(std::string_view code, std::string_view english, const std::vector<PhraseValue>& values) {
  return Sentence().say(code, english, values);
}

}  // namespace leadwright
