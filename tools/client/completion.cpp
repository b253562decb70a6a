// SPDX-License-Identifier: Apache-2.0
#include "tools/client/completion.h"

#include <algorithm>
#include <map>
#include <utility>
#include <vector>

namespace leadwright {
namespace {

/// By the verb's path, "ticket add" (empty: the program itself), and of an option's values "ticket add
/// --seen".
using WordsAfter = std::map<std::string, std::string>;

std::string joined(const std::string& path, const std::string& word) {
  return path.empty() ? word : path + " " + word;
}

/// The values that an option is checked against; the library tells them as "TEXT:{a,b}".
std::string values_of(const CLI::Option& option) {
  const std::string type = option.get_type_name();
  const auto from = type.find('{');
  const auto to = type.find('}', from);
  if (from == std::string::npos || to == std::string::npos) return {};
  std::string values = type.substr(from + 1, to - from - 1);
  std::ranges::replace(values, ',', ' ');
  return values;
}

void add_words(const CLI::App& app, const std::string& path, const std::string& common, WordsAfter& all) {
  std::string words;
  for (const CLI::App* sub : app.get_subcommands([](const CLI::App*) { return true; })) {
    words += " " + sub->get_name();
    add_words(*sub, joined(path, sub->get_name()), common, all);
  }
  for (const CLI::Option* option : app.get_options()) {
    for (const std::string& name : option->get_lnames()) {
      words += " --" + name;
      if (const auto values = values_of(*option); !values.empty()) all[joined(path, "--" + name)] = values;
    }
    if (option->get_positional()) words += " " + values_of(*option);
  }
  all[path] = words + common;
}

std::string common_options(const CLI::App& app) {
  std::string words;
  for (const CLI::Option* option : app.get_options()) {
    for (const std::string& name : option->get_lnames()) words += " --" + name;
  }
  return words;
}

constexpr const char* before_cases =
    R"(# Completes the words of leadwright in bash. Made by: leadwright completion bash
_leadwright_words() {
  case $1 in
)";
constexpr const char* after_cases = R"(  *) return 1 ;;
  esac
}

_leadwright() {
  local word path='' last=${COMP_WORDS[COMP_CWORD - 1]} cur=${COMP_WORDS[COMP_CWORD]} words
  for word in "${COMP_WORDS[@]:1:COMP_CWORD-1}"; do
    [[ $word != -* ]] || continue
    if _leadwright_words "${path:+$path }$word" >/dev/null; then path=${path:+$path }$word; fi
  done
  if [[ $last != --* ]] || ! words=$(_leadwright_words "${path:+$path }$last"); then
    words=$(_leadwright_words "$path")
  fi
  mapfile -t COMPREPLY < <(compgen -W "$words" -- "$cur")
}

complete -o default -F _leadwright leadwright
)";

}  // namespace

std::string bash_completion(const CLI::App& app) {
  WordsAfter all;
  add_words(app, "", common_options(app), all);
  std::string script = before_cases;
  for (const auto& [path, words] : all) {
    script.append("  '").append(path).append("') echo '").append(words).append("' ;;\n");
  }
  return script + after_cases;
}

}  // namespace leadwright
