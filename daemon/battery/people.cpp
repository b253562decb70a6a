// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/people.h"

#include <fmt/format.h>

#include <charconv>

#include "protocol/ascii.h"
#include "protocol/utf8.h"

namespace leadwright {

namespace {

constexpr std::string_view code_start = "P-";
constexpr std::string_view by_token = " (token ";
constexpr std::string_view of_page = "page: ";
constexpr std::string_view typed_there = ", unverified";

/// The name that was typed, within an actor without its token; all of it where nothing was.
std::string_view typed_in(std::string_view whole) {
  std::string_view actor = whole;
  if (actor.starts_with(of_page)) actor.remove_prefix(of_page.size());
  if (actor.ends_with(typed_there)) actor.remove_suffix(typed_there.size());
  actor = trimmed(actor);
  return actor.empty() ? trimmed(whole) : actor;
}

/// Where the token begins; the end without one. The last one is what the bench itself wrote behind a name
/// that is not the token's.
std::size_t token_at(std::string_view actor) {
  const auto token = actor.rfind(by_token);
  return token != std::string_view::npos && actor.ends_with(')') ? token : actor.size();
}

std::string_view holder_in(std::string_view actor) {
  const auto token = token_at(actor);
  if (token == actor.size()) return {};
  return trimmed(actor.substr(token + by_token.size(), actor.size() - token - by_token.size() - 1));
}

}  // namespace

std::string shown(PersonId id) {
  return fmt::format("{}{}", code_start, static_cast<std::int64_t>(id));
}

Result<PersonId> parse_person_id(std::string_view text) {
  std::int64_t value = 0;
  if (text.starts_with(code_start)) {
    const std::string_view digits = text.substr(code_start.size());
    const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
    if (error == std::errc() && value >= 1 && shown(PersonId{value}) == text) return PersonId{value};
  }
  return fail(Errc::bad_input, fmt::format("\"{}\" is no code of a person", text), {},
              "write it as the bench shows it, for example " + shown(PersonId{7}));
}

std::string_view person_of(std::string_view actor) {
  const std::string_view holder = holder_in(actor);
  return holder.empty() ? typed_in(actor.substr(0, token_at(actor))) : holder;
}

std::string person_words(std::string_view coded_actor) {
  return fmt::format("person {}", person_of(coded_actor));
}

void PersonBook::load(const std::vector<Person>& stored) {
  for (const Person& person : stored) {
    people_.insert_or_assign(person.id, person);
    if (!person.is_erased()) by_key_.insert_or_assign(lower_ascii(person.name), person.id);
  }
}

std::string PersonBook::coded(std::string_view actor) {
  if (actor.empty()) return {};
  const std::string_view before = actor.substr(0, token_at(actor));
  const std::string_view typed = typed_in(before);
  const std::string_view holder = holder_in(actor);
  std::string text(before);
  if (!typed.empty()) {
    const auto from = static_cast<std::size_t>(typed.data() - before.data());
    text.replace(from, typed.size(), code_of(typed));
  }
  if (holder.empty()) return text;
  return text.append(by_token).append(code_of(holder)).append(")");
}

std::string PersonBook::code_of(std::string_view name) {
  if (name.empty()) return {};
  std::string key = lower_ascii(name);
  if (const auto found = by_key_.find(key); found != by_key_.end()) return shown(found->second);
  const PersonId id{static_cast<std::int64_t>(last()) + 1};
  people_.emplace(id, Person{id, std::string(name)});
  fresh_.emplace(id, false);
  by_key_.emplace(std::move(key), id);
  return shown(id);
}

PersonId PersonBook::last() const {
  return people_.empty() ? PersonId{0} : people_.rbegin()->first;
}

std::vector<Person> PersonBook::unstored() {
  std::vector<Person> all;
  for (auto& [id, is_taken] : fresh_) {
    is_taken = true;
    all.push_back(people_.at(id));
  }
  return all;
}

void PersonBook::stored(const std::vector<Person>& people) {
  for (const Person& person : people) fresh_.erase(person.id);
}

void PersonBook::forget_unused() {
  for (auto each = fresh_.begin(); each != fresh_.end();) {
    if (each->second) {
      ++each;
      continue;
    }
    by_key_.erase(lower_ascii(people_.at(each->first).name));
    people_.erase(each->first);
    each = fresh_.erase(each);
  }
}

const Person* PersonBook::find(PersonId id) const {
  const auto found = people_.find(id);
  return found == people_.end() ? nullptr : &found->second;
}

const Person* PersonBook::find(std::string_view code) const {
  const auto id = parse_person_id(code);
  return id ? find(*id) : nullptr;
}

Result<Person> PersonBook::erase(PersonId id) {
  const auto found = people_.find(id);
  if (found == people_.end()) {
    return fail(Errc::not_found, "there is no person " + shown(id), "person",
                "leadwright person list shows them");
  }
  Person& person = found->second;
  if (person.is_erased()) return fail(Errc::conflict, "this name was erased already", shown(id));
  by_key_.erase(lower_ascii(person.name));
  person = {id, {}, static_cast<std::int64_t>(last())};
  return person;
}

bool PersonBook::may_be_one_person(std::string_view one, std::string_view other) const {
  if (one == other) return true;
  const Person* const first = find(one);
  const Person* const second = find(other);
  if (first == nullptr || second == nullptr) return true;
  const auto came_after = [](const Person& erased, const Person& later) {
    return erased.is_erased() && static_cast<std::int64_t>(later.id) > erased.codes_then;
  };
  return came_after(*first, *second) || came_after(*second, *first);
}

}  // namespace leadwright
