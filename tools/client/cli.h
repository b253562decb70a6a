// SPDX-License-Identifier: Apache-2.0
// The parser of the client's command line, to which each noun adds its commands. Sees the outside library:
// for main.cpp and the *_options.cpp alone.
#pragma once

#include <CLI/CLI.hpp>
#include <functional>
#include <memory>
#include <string>

#include "daemon/settings/exit_codes.h"
#include "tools/client/options.h"

namespace leadwright {

/// The parser, the options of every command, and what the command line turned out to ask for.
struct Cli {
  CLI::App app{"Asks and tells the bench, over HTTP on this machine."};
  ClientOptions client;
  std::function<ExitCode()> chosen;

  /// Adds a verb whose options live as long as the parser.
  template <class Options>
  std::shared_ptr<Options> add(CLI::App* verb, ExitCode (*run)(const ClientOptions&, const Options&)) {
    auto options = std::make_shared<Options>();
    verb->callback([this, options, run] { chosen = [this, options, run] { return run(client, *options); }; });
    return options;
  }
};

inline CLI::App* noun(Cli& cli, const std::string& name, const std::string& about) {
  auto* const added = cli.app.add_subcommand(name, about);
  added->require_subcommand(1);
  added->fallthrough();
  return added;
}

/// leadwright ticket ...
void add_ticket(Cli& cli);
/// leadwright ticket photo, leadwright photo ...
void add_photos(Cli& cli, CLI::App* ticket);
/// leadwright fitting ..., part ..., bench ..., session ...
void add_fitting(Cli& cli);
/// leadwright export ...
void add_export(Cli& cli);
/// leadwright completion ...
void add_completion(Cli& cli);
/// leadwright procedure ...
void add_procedure(Cli& cli);
/// leadwright grade ...
void add_grade(Cli& cli);
/// leadwright rehearse ...
void add_rehearse(Cli& cli);
/// leadwright certificate ...
void add_certificate(Cli& cli);
/// leadwright token ...
void add_token_commands(Cli& cli);
/// leadwright person ...
void add_person(Cli& cli);
/// leadwright instrument recall
void add_recall(Cli& cli, CLI::App* instrument);

}  // namespace leadwright
