// SPDX-License-Identifier: Apache-2.0
#include "tools/client/show_person.h"

#include <fmt/format.h>

#include "tools/client/table.h"
#include "tools/client/who.h"

namespace leadwright {

std::string who(const boost::json::value& people, const std::string& code) {
  for (const auto& person : items(people)) {
    if (words(member(person, "person")) != code) continue;
    if (auto name = words(member(person, "name")); !name.empty()) return name;
  }
  return fmt::format("a person whose name was erased ({})", code);
}

std::string show_people(const std::string& body) {
  const auto people = parse_json(body);
  if (!people || !people->is_array()) return body + "\n";
  if (items(*people).empty()) return "nobody yet\n";
  std::vector<std::vector<std::string>> rows{{"CODE", "NAME"}};
  for (const auto& person : items(*people)) {
    const std::string name = words(member(person, "name"));
    rows.push_back({words(member(person, "person")), name.empty() ? "(erased)" : name});
  }
  return table(rows);
}

std::string show_erased(const std::string& body) {
  const auto person = parse_json(body);
  if (!person || !person->is_object()) return body + "\n";
  return fmt::format(
      "the name of {} is erased; backups, logs, exports and printed pages of before are yours to look "
      "after\n",
      words(member(*person, "person")));
}

}  // namespace leadwright
