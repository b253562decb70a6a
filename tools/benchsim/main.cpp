// SPDX-License-Identifier: Apache-2.0
// The program benchsim: command line only. What it does lies in bench_lines.h and run_hand.h.
#include <CLI/CLI.hpp>
#include <iostream>

#include "daemon/settings/exit_codes.h"
#include "tools/benchsim/bench_lines.h"
#include "tools/benchsim/run_hand.h"

namespace {

using leadwright::exit_code;
using leadwright::ExitCode;

int ended(const leadwright::Error& error) {
  std::cerr << "benchsim: " << error.line() << '\n';
  return static_cast<int>(exit_code(error.code));
}

int serve(const leadwright::BenchLinesOptions& options) {
  const auto ready = [] { std::cout << "ready" << std::endl; };
  const auto served = leadwright::serve_bench(options, ready);
  return served ? static_cast<int>(ExitCode::ok) : ended(served.error());
}

int ask(const std::string& state, const std::string& command) {
  const auto answer = leadwright::ask_bench(state, command);
  if (!answer) return ended(answer.error());
  std::cout << *answer << '\n';
  return static_cast<int>(answer->starts_with("error") ? ExitCode::negative : ExitCode::ok);
}

int hand(const leadwright::RunHandOptions& options) {
  const auto say = [&options](const std::string& line) {
    (options.json ? std::cerr : std::cout) << line << std::endl;
  };
  const auto done = leadwright::run_hand(options, say);
  if (!done) return ended(done.error());
  std::cout << done->text << std::flush;
  return static_cast<int>(done->all_graded ? ExitCode::ok : ExitCode::negative);
}

}  // namespace

int main(int argc, char** argv) {
  CLI::App app(
      "A simulated bench: instruments on pseudo-terminals, batteries that are plugged in by command.\n"
      "Everything here is simulated and says so in its identity.\n\n"
      "  benchsim --state build/sim --bays 2 --charging-places 4 --scale 240\n"
      "  benchsim ask --state build/sim \"plug bay-1 cell:sound\"");
  leadwright::BenchLinesOptions lines;
  leadwright::RunHandOptions run;
  std::string command;

  app.add_option("--state", lines.state, "folder for lines/, benchsim.sock and bench_time.toml");
  app.add_option("--bays", lines.bench.bays, "places with load, charger and thermometer")
      ->check(CLI::Range(0, 64));
  app.add_option("--charging-places", lines.bench.charging_places, "places with charger and thermometer")
      ->check(CLI::Range(0, 256));
  app.add_option("--scale", lines.scale, "bench seconds per second")->check(CLI::Range(0.01, 100000.0));
  app.add_option("--seed", lines.bench.seed, "of the instruments' errors");
  app.add_flag("--ideal", lines.bench.ideal, "instruments without error, lines without delay");
  app.add_option("--tcp-port-base", lines.tcp_port_base,
                 "also serve each instrument on a TCP port, from this one on")
      ->check(CLI::Range(1024, 65535));

  CLI::App* asking = app.add_subcommand("ask", "send one command to a running benchsim and print its answer");
  asking->add_option("--state", lines.state, "its folder")->required();
  asking
      ->add_option("command", command,
                   "plug, add, move, unplug, fault, power, truth or list, with their names")
      ->required();

  CLI::App* handing =
      app.add_subcommand("hand", "be the bench hand: take a scenario's batteries to their grades");
  handing->add_option("--state", run.state, "folder of the benchsim that serves the lines")->required();
  handing->add_option("--scenario", run.scenario, "batteries, labels and stories (TOML)")->required();
  handing->add_option("--url", run.url, "the daemon")->required();
  handing->add_option("--timeout-s", run.timeout_s, "give up after so many seconds of wall time")
      ->check(CLI::Range(1, 86400));
  handing->add_flag("--json", run.json, "print the final queue as JSON, progress to the standard error");

  try {
    app.parse(argc, argv);
    if (*asking) return ask(lines.state, command);
    if (*handing) return hand(run);
    if (lines.state.empty()) throw CLI::RequiredError("--state");
    return serve(lines);
  } catch (const CLI::ParseError& error) {
    const int code = app.exit(error);
    return code == 0 ? 0 : static_cast<int>(ExitCode::usage);
  } catch (const std::exception& error) {
    std::cerr << "benchsim: " << error.what() << '\n';
    return static_cast<int>(ExitCode::bug);
  }
}
