// SPDX-License-Identifier: Apache-2.0
// leadwright fitting, part, bench and session: their verbs and their options.
#include "tools/client/cli.h"
#include "tools/client/counter_commands.h"
#include "tools/client/fitting_commands.h"
#include "tools/client/label_options.h"

namespace leadwright {
namespace {

constexpr const char* fitting_help =
    R"(A new battery by its label (options, --part or --file) or by its ticket, a meter at its posts, and what
the vehicle asks for. Changes nothing and needs no bay.
Examples:
  leadwright fitting check --part EX-70-AGM --ocv '12.66 V' --stood '30 h' --temperature '18 degC'
  leadwright fitting check --ticket T-000001-9 --vehicle-chemistry agm --vehicle-c20 '70 Ah' --charger '10 A'
  leadwright fitting check --file question.json --json
Exit codes: 0 may be fitted; 1 not yet or not at all; 65 an amount or a label can't be read; 66 no such part
or ticket; 69 no daemon.)";
constexpr const char* part_help =
    R"(Examples: leadwright part show EX-70-AGM
          leadwright ticket add --serial EX-1 --part EX-70-AGM
Exit codes: 0 found; 66 no such part, or the bench has no list.)";
constexpr const char* bench_help =
    R"(Examples: leadwright bench show --search graded
          leadwright bench show --json | jq '.queue[].ticket'
Exit codes: 0 shown; 69 no daemon.)";

void add_check(Cli& cli, CLI::App* fitting) {
  auto* const check = fitting->add_subcommand("check", "May this new battery be fitted?");
  const auto to = cli.add<FittingOptions>(check, fitting_check);
  check->add_option("--file", to->file,
                    "JSON as the API takes it, - for standard input; instead of what follows");
  check->add_option("--ticket", to->ticket, "a battery that stands at this bench");
  add_part_option(check, to->part);
  add_label_options(check, *to);
  add_posts(check, *to, "--");
  add_label_options(check, to->vehicle, "--vehicle-");
  add_posts(check, to->vehicle, "--vehicle-");
  check->add_option("--ocv", to->ocv, "voltage at its posts with nothing on, '12.66 V'");
  check->add_option("--temperature", to->temperature, "of the battery, '18 degC'");
  check->add_option("--stood", to->stood, "since it was charged or driven, '30 h'");
  check->add_option("--charger", to->charger, "amps of your charger, '10 A'");
  check->add_option("--monitor-age", to->monitor_age, "age that the vehicle's monitor reports after, '3 d'");
  check->add_option("--monitor-charge", to->monitor_charge, "charge that it reports, '82 %'");
  check->add_option("--running", to->running, "voltage at the posts, engine running, '14.2 V'");
  check->add_option("--drain", to->drain, "drain at rest, '25 mA'");
  check->footer(fitting_help);
}

}  // namespace

void add_fitting(Cli& cli) {
  add_check(cli, noun(cli, "fitting", "A new battery for a vehicle"));

  auto* const part = noun(cli, "part", "The bench's own list of parts");
  auto* const show = part->add_subcommand("show", "What the label of a part says");
  const auto shown = cli.add<PartOptions>(show, part_show);
  show->add_option("part", shown->part, "as scanned, EX-70-AGM")->required();
  show->footer(part_help);

  auto* const bench = noun(cli, "bench", "The bench as a whole");
  auto* const all = bench->add_subcommand("show", "Alarms, places and the queue, as the page has them");
  const auto wanted = cli.add<BenchShowOptions>(all, bench_show);
  all->add_option("--search", wanted->search, "only tickets with this text: number, label, state, place");
  all->footer(bench_help);

  auto* const session = noun(cli, "session", "Who asks the bench");
  auto* const who = session->add_subcommand("show", "Whose token this is, and its rank");
  who->callback([&cli] { cli.chosen = [&cli] { return session_show(cli.client); }; });
}

}  // namespace leadwright
