// SPDX-License-Identifier: Apache-2.0
#include "tools/client/cli.h"
#include "tools/client/rehearse_commands.h"
#include "tools/client/rehearse_returns_command.h"

namespace leadwright {

namespace {

void add_rehearse_returns(Cli& cli, CLI::App* rehearse) {
  auto* const returns =
      rehearse->add_subcommand("returns", "Many simulated returns under a policy: errors, hours, the queue");
  const auto options = cli.add<RehearseReturnsOptions>(returns, rehearse_returns_command);
  returns
      ->add_option("--policy", options->policies,
                   "a file, or the name of a shipped one; several: the same batteries under each")
      ->delimiter(',')
      ->capture_default_str();
  returns->add_option("--count", options->count, "how many batteries come")
      ->check(CLI::Range(1, 1000000))
      ->capture_default_str();
  returns
      ->add_option("--at-least", options->of_each,
                   "instead of a count: go on until there are so many truly good and so many truly bad ones")
      ->check(CLI::Range(1, 1000000));
  returns->add_option("--seed", options->seed, "of everything that is drawn")->capture_default_str();
  returns->add_option("--mix", options->mix, "TOML of what comes in; else the configuration's returns.toml");
  returns->add_option("--config", options->config, "folder with profiles, procedures and policies");
  returns->add_option("--threads", options->threads, "else as many as the machine has")
      ->check(CLI::Range(1, 1024));
  returns->add_option("--accepted-from", options->accepted_from, "the poorest letter that counts as accepted")
      ->check(CLI::IsMember({"A", "B", "C"}))
      ->capture_default_str();
  returns->add_flag("--without-full-sequence", options->without_full_sequence,
                    "spare the comparison with charge, rest, discharge and recharge on one bay");
  returns->add_option("--only", options->only, "tell the story of this one of them, from 0 on")
      ->check(CLI::Range(0, 1000000));
}

}  // namespace

void add_rehearse(Cli& cli) {
  auto* const rehearse = noun(cli, "rehearse", "The whole daemon in this process, on virtual time");
  auto* const trace =
      rehearse->add_subcommand("trace", "A reserve capacity run on a replayed battery a file");
  const auto options = cli.add<RehearseTraceOptions>(trace, rehearse_trace);
  trace->add_option("files", options->files, "CSV: time_s,current_a,terminal_voltage_v,temperature_c")
      ->required();
  trace->add_option("--config", options->config, "folder with profiles, procedures and policies");
  trace->add_option("--wire", options->wire, "write every byte exchanged to this file");
  trace->add_option("--log", options->log, "write the event log to this file");
  trace->add_option("--seed", options->seed, "of everything that is drawn");
  trace->add_flag("--realistic", options->realistic,
                  "instruments with the errors that their profiles declare");
  add_rehearse_returns(cli, rehearse);
}

}  // namespace leadwright
