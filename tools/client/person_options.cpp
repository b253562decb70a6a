// SPDX-License-Identifier: Apache-2.0
// leadwright person ...: its verbs and their options.
#include "tools/client/cli.h"
#include "tools/client/person_commands.h"

namespace leadwright {
namespace {

constexpr const char* person_help =
    R"(What is kept for good says a code for each person. The name behind it can be erased; what was done
stays under the code. Takes a supervisor's token where the bench asks for tokens. Revoke the person's own
token first, else the next use of it makes a new code for the same name.
Examples:
  leadwright person list
  leadwright --actor ana person erase P-7 --why 'left the shop and asked for it'
Exit codes: 0 erased; 66 nobody has this code; 75 erased already; 77 not allowed.)";

}  // namespace

void add_person(Cli& cli) {
  auto* const person = noun(cli, "person", "Whose names the bench keeps");
  person->footer(person_help);
  auto* const list = person->add_subcommand("list", "Every code with the name behind it");
  list->callback([&cli] { cli.chosen = [&cli] { return person_list(cli.client); }; });
  auto* const erase = person->add_subcommand("erase", "Erase the name behind a code, for ever");
  const auto erased = cli.add<PersonOptions>(erase, person_erase);
  erase->add_option("person", erased->person, "P-7, as listed")->required();
  erase->add_option("--why", erased->why, "for the journal; don't write the name into it")->required();
  erase->footer(person_help);
}

}  // namespace leadwright
