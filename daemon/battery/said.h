// SPDX-License-Identifier: Apache-2.0
// A sentence of the bench, in English and as codes: whoever speaks another language says it anew from its
// phrases. Text and codes are made in one place, so that they can't disagree. Values only; any thread.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace leadwright {

/// What fills a hole of a phrase: an amount with its unit, or a name, a date, words of a person.
struct PhraseValue {
  std::string name;
  std::string text;        ///< "51.4", "2019-05"
  std::string unit = {};   ///< "min"; empty for words and plain numbers
  bool is_number = false;  ///< `text` is a number in decimal notation
};

/// With so many decimals; "" is no unit.
PhraseValue said_amount(std::string name, double value, int decimals, std::string unit);
PhraseValue said_count(std::string name, long long count);
PhraseValue said_words(std::string name, std::string words);

struct Phrase {
  std::string code;  ///< "gives_only"; tests/page/words.mjs finds all there are, by the calls of say()
  std::vector<PhraseValue> values = {};
};
using Phrases = std::vector<Phrase>;

/// Phrases follow each other as they stand: one that goes on with a sentence begins with its punctuation.
class Sentence {
 public:
  Sentence() = default;
  /// Kept from before; without phrases it is text alone.
  Sentence(std::string text, Phrases phrases) : text_(std::move(text)), phrases_(std::move(phrases)) {}

  /// Appends `english` with each {name} filled by the value of that name: "51.4 min".
  Sentence& say(std::string_view code, std::string_view english, const std::vector<PhraseValue>& values = {});
  Sentence& add(const Sentence& more);
  /// As add, in place of the full stop that it ends with, if it does.
  Sentence& go_on(const Sentence& more);

  const std::string& text() const { return text_; }
  const Phrases& phrases() const { return phrases_; }
  bool empty() const { return text_.empty(); }

 private:
  std::string text_;
  Phrases phrases_;
};

/// What a person, a file or an error says: no words of ours, so that no other language has them. Empty of
/// nothing.
Sentence in_own_words(std::string words);

/// The same, of one phrase.
Sentence say(std::string_view code, std::string_view english, const std::vector<PhraseValue>& values = {});

}  // namespace leadwright
