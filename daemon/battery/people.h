// SPDX-License-Identifier: Apache-2.0
// Codes in place of names. What is kept for good (the audit, runs, overrides, sentences) says "P-7"; the name
// behind a code stands in one table, from which it can be erased. Owned by the bench. Thread: control. Never:
// gives a code twice, or a name back that was erased. Read next: ../store/schema/010.sql.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "protocol/result.h"

namespace leadwright {

enum class PersonId : std::int64_t {};
std::string shown(PersonId id);                           ///< "P-7"
Result<PersonId> parse_person_id(std::string_view text);  ///< accepts what shown gives, else bad_input

struct Person {
  PersonId id{};
  std::string name;             ///< as typed; empty once it was erased
  std::int64_t codes_then = 0;  ///< of an erased one: the last code that had been given by then
  bool is_erased() const { return name.empty(); }
};

/// The person behind an actor: the holder of a token, else who was typed, alike from the page and from the
/// client. Of an actor with codes in place of names: the code.
std::string_view person_of(std::string_view actor);

/// "person P-7", for the sentences of the bench.
std::string person_words(std::string_view coded_actor);

class PersonBook {
 public:
  /// Those of before this start.
  void load(const std::vector<Person>& stored);

  /// The actor with a code in place of each name: "page: Ana, unverified" gives "page: P-7, unverified". Who
  /// was not known gets the next code, who was known the same one, without regard to ASCII capitals.
  std::string coded(std::string_view actor);
  /// The code of a name; empty for an empty one.
  std::string code_of(std::string_view name);

  /// Who is in none of the batches yet, or only in such as the store has not acknowledged: every batch that
  /// may name them has them too, so that no code is ever stored without its person.
  std::vector<Person> unstored();
  /// The store has these.
  void stored(const std::vector<Person>& people);
  /// Codes that no batch has taken are given back: what was refused leaves no name.
  void forget_unused();

  /// Null for a code that nobody has.
  const Person* find(PersonId id) const;
  /// Null for what is no code of anybody.
  const Person* find(std::string_view code) const;
  const std::map<PersonId, Person>& all() const { return people_; }
  /// not_found for a code that nobody has, conflict if the name was erased already.
  Result<Person> erase(PersonId id);
  /// Whether two codes may be one person's: the same code, or one whose name was erased before the other code
  /// was given, so that nobody can tell any more.
  bool may_be_one_person(std::string_view one, std::string_view other) const;

 private:
  PersonId last() const;
  std::map<PersonId, Person> people_;
  std::map<std::string, PersonId, std::less<>> by_key_;  ///< by the name in small letters
  std::map<PersonId, bool> fresh_;                       ///< not stored yet, and whether a batch has it
};

}  // namespace leadwright
