// SPDX-License-Identifier: Apache-2.0
#include "tools/client/cli.h"
#include "tools/client/procedure_commands.h"
#include "tools/rehearse/world.h"

namespace leadwright {

void add_procedure(Cli& cli) {
  auto* const procedure = noun(cli, "procedure", "Scripts of steps, proved before they run");
  auto* const list = procedure->add_subcommand("list", "Those that the daemon knows");
  list->callback([&cli] { cli.chosen = [&cli] { return procedure_list(cli.client); }; });

  auto* const check = procedure->add_subcommand("check", "Every mistake, and what can't be proved");
  const auto checked = cli.add<ProcedureOptions>(check, procedure_check);
  check->add_option("files", checked->files, "TOML files of config/procedures")->required();

  auto* const explain = procedure->add_subcommand("explain", "What it does, step by step, in plain words");
  const auto explained = cli.add<ProcedureOptions>(explain, procedure_explain);
  explained->folder = default_config_folder() + "/procedures";
  explain->add_option("names", explained->files, "files, or names of procedures")->required();
  explain->add_option("--folder", explained->folder, "where names are looked for")->capture_default_str();

  auto* const plan = procedure->add_subcommand("plan", "What it would do with a battery at a place");
  const auto planned = cli.add<ProcedurePlanOptions>(plan, procedure_plan);
  plan->add_option("procedure", planned->procedure, "its name")->required();
  plan->add_option("--place", planned->place, "bay-1")->required();
  plan->add_option("--ticket", planned->ticket, "whose battery; else the battery that follows");
  plan->add_option("--chemistry", planned->chemistry, "flooded, efb, agm, gel, lead")->capture_default_str();
  plan->add_option("--cells", planned->cells, "6 for 12 V, 3 for 6 V")->capture_default_str();
  plan->add_option("--cca", planned->cca, "cold cranking amperes, '640 A'");
  plan->add_option("--rc", planned->reserve_capacity, "reserve capacity, '110 min'");
  plan->add_option("--c20", planned->c20, "20-hour capacity, '60 Ah'");
  plan->add_option("--with", planned->with, "a parameter, \"name=25 A\"; may be repeated");
  procedure->footer(procedure_help);
}

}  // namespace leadwright
