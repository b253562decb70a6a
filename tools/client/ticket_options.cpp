// SPDX-License-Identifier: Apache-2.0
// leadwright ticket ...: its verbs and their options.
#include "tools/client/acid_options.h"
#include "tools/client/cli.h"
#include "tools/client/label_options.h"
#include "tools/client/override_commands.h"
#include "tools/client/ticket_commands.h"

namespace leadwright {
namespace {

constexpr const char* add_help =
    R"(Examples:
  leadwright ticket add --serial EX-1 --part EX-70-AGM --receipt 88213 --complaint 'cranks slowly'
  leadwright ticket add --file drop-off.json
  jq -n '{battery: {serial: "EX-1", chemistry: "agm", cells: 6}}' | leadwright --json ticket add --file -
Exit codes: 0 open; 65 the label can't be right; 66 no such part or file; 69 no daemon.)";
constexpr const char* inspect_help =
    R"(What is not said stays as it was. Cracked, leaking, swollen or frozen refuses the battery for good; too
light for its size holds it.
Examples:
  leadwright ticket inspect T-000001-9 --seen terminals_corroded --weight-kg 16.4
  leadwright ticket inspect T-000001-9 --plus-at right --vehicle-plus-at left
  leadwright ticket inspect T-000001-9 --gravity 1.262,1.260,1.190,1.260,1.260,1.261 --acid-degc 24
Exit codes: 0 noted; 65 no such value; 66 no such ticket; 75 a run is going on;
77 a danger can't be taken back.)";
constexpr const char* batch_help =
    R"(The label's options are of all of them. Cracked, leaking, swollen and frozen ones, what rests above
2.23 V a cell (is it lead?) and what rests too low are set aside without a ticket. The same file read again
within seven days, after a lost connection say, opens no second ticket.
Example:
  printf 'serial,volts,seen\nCORE-1,12.41,\nCORE-2,11.9,leaking\n' |
    leadwright ticket batch --file - --part EX-60-FL
Exit codes: 0 done; 1 the bench refused one or more; 65 the file can't be read; 66 no such file or part.)";
constexpr const char* override_help =
    R"(Changes nothing yet: a second person has to confirm it under another name. What was refused for safety
(a fault, an unsafe case, no lead battery) has no other letter, whoever asks.
Example:
  leadwright --actor ana ticket override T-000001-9 --letter C --why 'its owner wants it for a garden pump'
  leadwright --actor bob ticket override-confirm T-000001-9 --letter C
Exit codes: 0 proposed; 65 no such letter or no reason; 75 not graded; 77 refused for safety.)";
constexpr const char* confirm_help =
    R"(The letter is named again, so that nobody confirms another one than they read. Takes a supervisor's
token where the bench asks for tokens.
Example: leadwright --actor bob ticket override-confirm T-000001-9 --letter C
Exit codes: 0 the letter stands; 75 nothing is proposed, another letter is, or you proposed it; 77 refused.)";
constexpr const char* withdraw_help =
    R"(Example: leadwright ticket override-withdraw T-000001-9 --why 'its owner wants another test'
Exit codes: 0 dropped; 75 nothing is proposed.)";

const CLI::IsMember& signs() {
  static const CLI::IsMember all({"cracked", "leaking", "swollen", "frozen", "terminals_damaged",
                                  "terminals_corroded", "vents_blocked", "electrolyte_low",
                                  "label_unreadable"});
  return all;
}

void add_look(CLI::App* verb, InspectionOptions& to) {
  verb->add_option("--seen", to.signs, "what the eye sees")->check(signs());
  verb->add_option("--weight-kg", to.weight_kg, "as put on a scale");
  add_acid_options(verb, to);
  verb->add_option("--remarks", to.remarks, "remarks of the inspection");
  add_posts(verb, to, "--");
  verb->add_option("--vehicle-size", to.vehicle_size_code, "size code that its vehicle asks for");
  add_posts(verb, to.vehicle, "--vehicle-");
}

void add_inspect(Cli& cli, CLI::App* ticket) {
  auto* const inspect = ticket->add_subcommand("inspect", "Say what a look at the bench shows");
  const auto to = cli.add<TicketInspectOptions>(inspect, ticket_inspect);
  inspect->add_option("ticket", to->ticket, "T-000001-3")->required();
  add_look(inspect, *to);
  inspect->add_option("--mended", to->gone, "a sign that is no longer there")->check(signs());
  inspect->footer(inspect_help);
}

void add_ticket_add(Cli& cli, CLI::App* ticket) {
  auto* const add = ticket->add_subcommand("add", "Take a battery in");
  const auto to = cli.add<TicketAddOptions>(add, ticket_add);
  add->add_option("--file", to->file,
                  "JSON as the API takes it, - for standard input; instead of what follows");
  add->add_option("--serial", to->serial, "maker's serial, or your own label's number");
  add_part_option(add, to->part);
  add_label_options(add, *to);
  add->add_option("--complaint", to->complaint, "what the person says");
  add->add_option("--sold-on", to->sold_on, "2024-05-02");
  add->add_option("--receipt", to->receipt, "number of the receipt");
  add->add_option("--monitor", to->monitor_report, "what the vehicle's battery monitor said");
  add->add_option("--monitor-charge", to->monitor_percent, "charge that it reports, in percent");
  add->add_option("--monitor-age", to->monitor_days, "age of the battery that it reports, in days");
  add->add_option("--monitor-degc", to->monitor_degc, "temperature that it reports, in degC");
  add->add_option("--monitor-reset", to->monitor_reset_on, "day on which it was told of a battery change");
  add_look(add, *to);
  add->add_option("--promised", to->promised_at,
                  "for when it is promised, 2026-01-31T17:00:00Z; left out, what the queue lets expect");
  add->add_option("--procedure", to->procedures, "run only these, in the planner's order");
  add->footer(add_help);
}

void add_batch(Cli& cli, CLI::App* ticket) {
  auto* const batch = ticket->add_subcommand("batch", "Many cores at once: tickets for what survives a look");
  const auto to = cli.add<TicketBatchOptions>(batch, ticket_batch);
  batch->add_option("--file", to->file, "CSV with serial,volts,seen; - for standard input")->required();
  batch->add_option("--least", to->least, "fewer volts are set aside, '10.5 V' (else 1.75 V a cell)");
  batch->add_flag("--only-look", to->only_look, "say what would become of each, and open nothing");
  add_part_option(batch, to->part);
  add_label_options(batch, *to);
  batch->footer(batch_help);
}

void add_overrides(Cli& cli, CLI::App* ticket) {
  const auto add = [&cli, ticket](const char* verb, const char* about, const char* help,
                                  ExitCode (*run)(const ClientOptions&, const OverrideOptions&)) {
    auto* const added = ticket->add_subcommand(verb, about);
    const auto options = cli.add<OverrideOptions>(added, run);
    added->add_option("ticket", options->ticket, "T-000001-3")->required();
    added->footer(help);
    return std::pair(added, options);
  };
  const CLI::IsMember letters({"A", "B", "C", "D", "U"});
  const auto [propose, proposed] =
      add("override", "Propose another letter than the bench's own", override_help, ticket_override);
  propose->add_option("--letter", proposed->letter, "A to D, U; the bench's own takes an earlier one back")
      ->required()
      ->check(letters);
  propose->add_option("--why", proposed->why, "one sentence; it goes on the certificate")->required();
  const auto [confirm, confirmed] =
      add("override-confirm", "Let the proposed letter stand, as a second person", confirm_help,
          ticket_override_confirm);
  confirm->add_option("--letter", confirmed->letter, "the proposed one")->required()->check(letters);
  const auto [withdraw, withdrawn] =
      add("override-withdraw", "Let the proposed letter drop", withdraw_help, ticket_override_withdraw);
  withdraw->add_option("--why", withdrawn->why, "for the journal")->required();
}

}  // namespace

void add_ticket(Cli& cli) {
  auto* const ticket = noun(cli, "ticket", "One visit of one battery");
  add_ticket_add(cli, ticket);
  add_batch(cli, ticket);

  auto* const list = ticket->add_subcommand("list", "All tickets");
  const auto listed = cli.add<TicketListOptions>(list, ticket_list);
  list->add_option("--state", listed->state, "only tickets in this state");

  auto* const show = ticket->add_subcommand("show", "One ticket with its runs, findings, faults and grade");
  const auto shown = cli.add<TicketOptions>(show, ticket_show);
  show->add_option("ticket", shown->ticket, "T-000001-3")->required();

  add_inspect(cli, ticket);

  auto* const move = ticket->add_subcommand("move", "Say where the battery now stands");
  const auto moved = cli.add<TicketOptions>(move, ticket_move);
  move->add_option("ticket", moved->ticket, "T-000001-3")->required();
  move->add_option("place", moved->target, "bay-1")->required();
  move->add_option("--why", moved->why, "for the journal");

  auto* const close = ticket->add_subcommand("close", "End the visit");
  const auto closed = cli.add<TicketOptions>(close, ticket_close);
  close->add_option("ticket", closed->ticket, "T-000001-3")->required();
  close->add_option("--as", closed->target, "how it ends")
      ->required()
      ->check(CLI::IsMember({"handed_back", "claimed", "resold", "scrapped"}));
  close->add_option("--why", closed->why, "for the journal");

  auto* const hold = ticket->add_subcommand("hold", "Put it off until a day");
  const auto held = cli.add<TicketOptions>(hold, ticket_hold);
  hold->add_option("ticket", held->ticket, "T-000001-3")->required();
  hold->add_option("--until", held->target, "2026-01-31, or an RFC 3339 moment")->required();
  hold->add_option("--why", held->why, "for the journal");

  auto* const recheck = ticket->add_subcommand("recheck", "Take a held ticket up again");
  const auto rechecked = cli.add<TicketOptions>(recheck, ticket_recheck);
  recheck->add_option("ticket", rechecked->ticket, "T-000001-3")->required();
  add_overrides(cli, ticket);
  add_photos(cli, ticket);
}

}  // namespace leadwright
