// SPDX-License-Identifier: Apache-2.0
#include "tools/client/show_override.h"

#include <fmt/format.h>

#include "tools/client/json_view.h"
#include "tools/client/who.h"

namespace leadwright {
namespace {

std::string said(const boost::json::value& of, std::string_view key) {
  return words(member(of, key));
}

std::string history_line(const boost::json::value& people, const boost::json::value& one) {
  std::string line =
      fmt::format("  {} to {}, proposed by {} at {}: {}\n", said(one, "own_letter"), said(one, "letter"),
                  who(people, said(one, "proposed_by")), said(one, "proposed_at"), said(one, "why"));
  const std::string state = said(one, "state");
  if (state == "proposed") return line + "    waits for a second person\n";
  return line + fmt::format("    {} by {} at {}\n", state, who(people, said(one, "settled_by")),
                            said(one, "settled_at"));
}

}  // namespace

std::string show_override(const std::string& body) {
  const auto given = parse_json(body);
  if (!given || !given->is_object()) return body + "\n";
  const std::string ticket = said(*given, "ticket");
  const std::string letter = said(*given, "letter");
  const std::string state = said(*given, "state");
  if (state == "confirmed") {
    return fmt::format("{} stands as {}; the bench's own letter is {}\n", ticket, letter,
                       said(*given, "own_letter"));
  }
  if (state == "withdrawn") return fmt::format("{}: {} was dropped\n", ticket, letter);
  return fmt::format(
      "{}: {} is proposed and waits for a second person:\n  leadwright --actor NAME ticket "
      "override-confirm {} --letter {}\n",
      ticket, letter, ticket, letter);
}

std::string overrides_section(const std::string& page) {
  const auto read = parse_json(page);
  if (!read) return {};
  const auto& all = items(member(*read, "overrides"));
  if (all.empty()) return {};
  const std::string letter = said(*read, "letter");
  const bool is_own = letter == said(member(*read, "grade"), "letter");
  std::string text = fmt::format("\nLETTER THAT STANDS {}{}\n", letter,
                                 is_own ? ", the bench's own" : ", set by two persons");
  for (const auto& one : all) text += history_line(member(*read, "people"), one);
  return text;
}

}  // namespace leadwright
