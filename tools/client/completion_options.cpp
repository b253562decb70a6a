// SPDX-License-Identifier: Apache-2.0
// leadwright completion ...
#include <iostream>

#include "tools/client/cli.h"
#include "tools/client/completion.h"

namespace leadwright {
namespace {

constexpr const char* bash_help =
    R"(Examples: source <(leadwright completion bash)
          leadwright completion bash > ~/.local/share/bash-completion/completions/leadwright)";

}  // namespace

void add_completion(Cli& cli) {
  auto* const completion = noun(cli, "completion", "Completion of these words by a shell");
  auto* const bash = completion->add_subcommand("bash", "A script for bash, to be read with source");
  bash->footer(bash_help);
  bash->callback([&cli] {
    cli.chosen = [&cli] {
      std::cout << bash_completion(cli.app);
      return std::cout.flush() ? ExitCode::ok : ExitCode::io;
    };
  });
}

}  // namespace leadwright
