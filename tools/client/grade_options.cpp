// SPDX-License-Identifier: Apache-2.0
#include "tools/client/cli.h"
#include "tools/client/grade_commands.h"
#include "tools/client/recall_command.h"
#include "tools/rehearse/world.h"

namespace leadwright {

void add_grade(Cli& cli) {
  auto* const grade =
      noun(cli, "grade", "What a policy makes of what was measured; reads, and changes nothing");
  auto* const recompute =
      grade->add_subcommand("recompute", "Grade all of the history again under another policy");
  const auto recomputed = cli.add<GradeOptions>(recompute, grade_recompute);
  recompute->add_option("--policy", recomputed->policy, "TOML file of config/policies")->required();

  auto* const explain = grade->add_subcommand("explain", "One ticket's grade, rule by rule");
  const auto explained = cli.add<GradeOptions>(explain, grade_explain);
  explain->add_option("ticket", explained->ticket, "T-000001-3")->required();
  explain->add_option("--policy", explained->policy, "another policy than the one that graded it");

  auto* const worked = grade->add_subcommand("examples", "Five invented tickets graded, as in gradings.md");
  const auto shown = cli.add<GradeOptions>(worked, grade_examples_page);
  shown->policies = default_config_folder() + "/policies";
  worked->add_option("--policies", shown->policies, "folder with the shipped policies")
      ->capture_default_str();
}

void add_recall(Cli& cli, CLI::App* instrument) {
  auto* const recall =
      instrument->add_subcommand("recall", "Which grades rest on an instrument that was found wrong");
  const auto recalled = cli.add<RecallOptions>(recall, instrument_recall);
  recall->add_option("instrument", recalled->instrument, "serial number, or bay-1.load")->required();
  recall->add_option("--policy", recalled->policy, "TOML file of config/policies")->required();
  recall->add_option("--from", recalled->from, "the last day on which it was found right");
  recall->add_option("--until", recalled->until, "the day on which it was taken out of use");
  recall->footer(instrument_recall_help);
}

}  // namespace leadwright
