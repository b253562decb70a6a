// SPDX-License-Identifier: Apache-2.0
// leadwright: the client of the bench. Each noun adds its commands to the parser here and is carried out in
// its own file; a further noun is one more function here and one more line in main.
#include <exception>
#include <functional>
#include <iostream>

#include "tools/client/cli.h"
#include "tools/client/design_commands.h"
#include "tools/client/help.h"
#include "tools/client/instrument_commands.h"
#include "tools/client/place_commands.h"
#include "tools/client/profile_commands.h"
#include "tools/client/run_commands.h"
#include "tools/client/supervision_commands.h"
#include "tools/client/watch.h"

namespace leadwright {
namespace {

void add_place(Cli& cli) {
  auto* const place = noun(cli, "place", "Where batteries stand");
  auto* const list = place->add_subcommand("list", "All places");
  list->callback([&cli] { cli.chosen = [&cli] { return place_list(cli.client); }; });

  auto* const start = place->add_subcommand("start", "Start what comes next for the battery there");
  const auto started = cli.add<PlaceOptions>(start, place_start);
  start->add_option("place", started->place, "bay-1")->required();
  start->add_option("--procedure", started->procedure, "another one than what comes next");
  start->add_option("--with", started->with, "a parameter of it, \"name=25 A\"; may be repeated");
  start->add_option("--consented-by", started->consented_by,
                    "who agreed to it, where the owner's consent is needed");

  auto* const stop = place->add_subcommand("stop", "Turn everything there off");
  const auto stopped = cli.add<PlaceOptions>(stop, place_stop);
  stop->add_option("place", stopped->place, "bay-1")->required();
  stop->add_option("--why", stopped->why, "the reason")->required();

  const auto add_reasoned = [&cli, place](const char* verb, const char* about,
                                          ExitCode (*run)(const ClientOptions&, const PlaceOptions&)) {
    auto* const added = place->add_subcommand(verb, about);
    const auto options = cli.add<PlaceOptions>(added, run);
    added->add_option("place", options->place, "bay-1")->required();
    added->add_option("--why", options->why, "the reason")->required();
  };
  add_reasoned("pause", "Turn everything off for a while; rests and charges only", place_pause);
  add_reasoned("resume", "Let what was paused go on", place_resume);
  add_reasoned("out-of-service", "Let nothing start there", place_out_of_service);
  add_reasoned("in-service", "Let work start there again", place_in_service);

  auto* const acknowledge = place->add_subcommand("acknowledge", "Answer what a place asks");
  const auto said = cli.add<PlaceOptions>(acknowledge, place_acknowledge);
  acknowledge->add_option("place", said->place, "bay-1")->required();
  acknowledge->add_option("--of", said->of, "what is answered; without it, what the place asks now")
      ->check(CLI::IsMember({"cautions", "same_battery", "cells", "polarity", "clamps", "shield", "trip",
                             "presence", "question"}));
  acknowledge->add_option("--answer", said->answer, "yes, no, or what a step of a procedure asks for");
  acknowledge->add_option("--cells", said->cells, "the cells that you counted");
  acknowledge->add_option("--why", said->why, "for the journal");
}

void add_stop(Cli& cli) {
  auto* const stop = noun(cli, "stop", "The software stop of the whole bench");
  auto* const all = stop->add_subcommand("all", "Turn every place off");
  const auto options = cli.add<PlaceOptions>(all, stop_all);
  all->add_option("--why", options->why, "for the journal");
}

void add_alarm(Cli& cli) {
  auto* const alarm = noun(cli, "alarm", "Who is called when the bench has an alarm");
  auto* const test = alarm->add_subcommand("test", "Call now, to see whether it arrives");
  test->callback([&cli] { cli.chosen = [&cli] { return alarm_test(cli.client); }; });
}

void add_run(Cli& cli) {
  auto* const run = noun(cli, "run", "What goes on, and what went on");
  auto* const watch = run->add_subcommand("watch", "Follow live until the run ends, or every place for ever");
  const auto options = cli.add<WatchOptions>(watch, run_watch);
  watch->add_option("place", options->place, "bay-1");

  auto* const trace = run->add_subcommand("trace", "What the instruments said during a run");
  const auto traced = cli.add<RunTraceOptions>(trace, run_trace);
  trace->add_option("run", traced->run, "R-000001, as its ticket shows it")->required();
  trace->add_option("--csv", traced->csv, "every sample as CSV to this file, - for standard output");
}

void add_supervision(Cli& cli, CLI::App* instrument) {
  auto* const list = instrument->add_subcommand("list", "All instruments, how they and their links do");
  list->callback([&cli] { cli.chosen = [&cli] { return instrument_list(cli.client); }; });

  auto* const show = instrument->add_subcommand("show", "One instrument with all its figures");
  const auto shown = cli.add<InstrumentOptions>(show, instrument_show);
  show->add_option("instrument", shown->instrument, "bay-1.load")->required();

  auto* const trace = instrument->add_subcommand("trace", "The bytes that cross its link");
  const auto traced = cli.add<InstrumentOptions>(trace, instrument_trace);
  trace->add_option("instrument", traced->instrument, "bay-1.load")->required();
  trace->add_option("what", traced->trace, "print what is held, switch it, or follow it")
      ->check(CLI::IsMember({"show", "on", "off", "watch"}))
      ->capture_default_str();
}

void add_design(Cli& cli) {
  auto* const design = noun(cli, "design", "As-new curves, which forecasts are laid upon");
  auto* const learn = design->add_subcommand("learn", "The curve of one design, from sound batteries");
  const auto options = cli.add<DesignLearnOptions>(learn, design_learn);
  learn->add_option("tickets", options->tickets, "T-000001-1 ..., of one design")->required();
  learn->add_option("--version", options->version, "count up when the design is learnt again")
      ->check(CLI::Range(1, 1000000));
  learn->add_option("--out", options->out, "file in the folder designs/ beside estimator.toml");
}

void add_profile(Cli& cli) {
  auto* const profile = noun(cli, "profile", "Files that say what an instrument understands");
  auto* const check = profile->add_subcommand("check", "Every mistake, or what it can do in plain words");
  const auto checked = cli.add<ProfileCheckOptions>(check, profile_check);
  check->add_option("files", checked->files, "TOML files of config/profiles")->required();
  check->footer(profile_check_help);
}

void add_line_options(CLI::App* verb, const std::string& link_help, std::string& link, std::string& profile,
                      LineOptions& line, int bauds_max) {
  verb->add_option("link", link, link_help)->required();
  verb->add_option("--profile", profile, "TOML file of what hangs there");
  verb->add_option(
          "--baud", line.bauds,
          bauds_max > 1 ? "speed of a serial line; several are tried in turn" : "speed of a serial line")
      ->expected(1, bauds_max);
  verb->add_option("--parity", line.parity, "none, even, odd")->check(CLI::IsMember({"none", "even", "odd"}));
  verb->add_option("--stop", line.stop, "stop bits")->check(CLI::IsMember({1, 2}));
}

void add_instrument(Cli& cli) {
  const std::string link = "serial:/dev/serial/by-id/NAME, usbtmc:/dev/instrument/NAME or tcp:HOST:PORT";
  auto* const instrument = noun(cli, "instrument", "What answers at the other end of a link");
  add_supervision(cli, instrument);
  add_recall(cli, instrument);
  auto* const probe = instrument->add_subcommand("probe", "Who hangs there, and does it keep to its profile");
  const auto probed = cli.add<ProbeOptions>(probe, instrument_probe);
  add_line_options(probe, link, probed->link, probed->profile, probed->line, 9);
  probe->add_option("--samples", probed->samples, "how many, for the round trips")
      ->check(CLI::Range(1, 5000));
  probe->add_flag("--settings", probed->settings,
                  "set each setting too, with the output off, and read it back");
  probe->add_option("--unit", probed->unit, "address of a Modbus unit, else the profile's, or 1")
      ->check(CLI::Range(1, 247));
  probe->footer(instrument_probe_help);

  auto* const talk = instrument->add_subcommand("talk", "A console that refuses to energise");
  const auto talked = cli.add<TalkOptions>(talk, instrument_talk);
  add_line_options(talk, link, talked->link, talked->profile, talked->line, 1);
  talk->add_option("--patience-ms", talked->patience_ms, "how long an answer may take")
      ->check(CLI::Range(10, 60000));
  talk->footer(instrument_talk_help);
}

void add_common(Cli& cli) {
  auto& app = cli.app;
  app.name("leadwright");
  app.require_subcommand(1);
  app.fallthrough();
  app.footer(examples);
  app.set_version_flag("--version", "leadwright " LEADWRIGHT_VERSION);
  app.add_option("--url", cli.client.url,
                 "where the daemon answers (else LEADWRIGHT_URL, its url file, port 8417)");
  app.add_option("--state", cli.client.state, "the daemon's state folder, to find its url file in");
  app.add_option("--actor", cli.client.actor, "who does it (else the login name)");
  app.add_flag("--json", cli.client.json, "print JSON");
}

int run(int argc, char** argv) {
  Cli cli;
  add_common(cli);
  add_ticket(cli);
  add_place(cli);
  add_fitting(cli);
  add_stop(cli);
  add_alarm(cli);
  add_run(cli);
  add_grade(cli);
  add_certificate(cli);
  add_export(cli);
  add_token_commands(cli);
  add_person(cli);
  add_rehearse(cli);
  add_profile(cli);
  add_design(cli);
  add_procedure(cli);
  add_instrument(cli);
  add_completion(cli);
  try {
    cli.app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    const bool is_help = error.get_exit_code() == 0;
    const int shown = cli.app.exit(error, std::cout, std::cerr);
    return is_help ? shown : static_cast<int>(ExitCode::usage);
  }
  return static_cast<int>(cli.chosen());
}

}  // namespace
}  // namespace leadwright

int main(int argc, char** argv) {
  try {
    return leadwright::run(argc, argv);
  } catch (const std::exception& error) {
    std::cerr << "leadwright: " << error.what() << ": this is a bug of ours\n";
    return static_cast<int>(leadwright::ExitCode::bug);
  }
}
