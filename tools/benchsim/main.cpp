// SPDX-License-Identifier: Apache-2.0
// The program benchsim: command line only. What it does lies in bench_lines.h and run_hand.h.
#include <CLI/CLI.hpp>
#include <iostream>
#include <map>
#include <string>
#include <utility>

#include "daemon/settings/exit_codes.h"
#include "tools/benchsim/bench_commands.h"
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

constexpr const char* about =
    "A simulated bench: instruments on pseudo-terminals and TCP ports, batteries that are plugged in by "
    "command.\n"
    "Everything here is simulated and says so in its identity.\n\n"
    "  benchsim --state build/sim --bays 2 --charging-places 4 --scale 240\n"
    "  benchsim ask --state build/sim \"plug bay-1 cell:sound\"\n"
    "  benchsim ask --help          what can be asked and told";

constexpr const char* after_options =
    "Lines: STATE/lines/NAME is a pseudo-terminal (115200 baud, 8N1) for each SCPI instrument and each\n"
    "Modbus RTU line (unit 1 unless shared). With --tcp, STATE/ports.txt names the port of 127.0.0.1 for\n"
    "each SCPI instrument and, as NAME.tcp, for each Modbus line.\n"
    "Registers: tools/benchsim/sim_registers.h.";

/// An option of one word that stands for a value.
template <class Value>
void add_choice(CLI::App& app, const std::string& option, const std::map<std::string, Value>& words,
                Value& value, const std::string& what) {
  const auto set = [words, &value](const std::string& word) { value = words.at(word); };
  app.add_option_function<std::string>(option, set, what)->check(CLI::IsMember(words));
}

void add_speech_options(CLI::App& app, leadwright::SimBenchOptions& bench) {
  using leadwright::SimSpeech;
  using SharedLine = leadwright::SimBenchOptions::SharedLine;
  const std::map<std::string, SimSpeech> own{
      {"none", SimSpeech::none}, {"scpi", SimSpeech::scpi}, {"modbus", SimSpeech::modbus}};
  const std::map<std::string, SimSpeech> shared{{"scpi", SimSpeech::scpi}, {"modbus", SimSpeech::modbus}};
  const std::map<std::string, SharedLine> lines{
      {"none", SharedLine::none}, {"thermometers", SharedLine::thermometers}, {"all", SharedLine::all}};
  add_choice(app, "--loads", own, bench.loads, "what those of the bays speak");
  add_choice(app, "--chargers", own, bench.chargers, "what those of all places speak");
  add_choice(app, "--thermometers", own, bench.thermometers, "what those of all places speak");
  app.add_flag("--one-thermometer", bench.one_thermometer,
               "instead, one Modbus thermometer with a channel for each place");
  app.add_flag("--two-quadrant", bench.two_quadrant,
               "the bays have one unit that is both load and charger (SCPI)");
  app.add_option("--shared-loads", bench.shared_loads, "load-1, ..., put onto places by relays (--wire)")
      ->check(CLI::Range(0, 64));
  app.add_option("--shared-chargers", bench.shared_chargers, "charger-1, ..., put onto places by relays")
      ->check(CLI::Range(0, 64));
  add_choice(app, "--shared", shared, bench.shared, "what shared instruments speak");
  add_choice(app, "--modbus-line", lines, bench.shared_line,
             "Modbus units on one RTU line: none, the thermometers (line thermometers) or all (line bus)");
}

void add_bench_options(CLI::App& app, leadwright::BenchLinesOptions& lines) {
  app.add_option("--bays", lines.bench.bays, "places with load, charger and thermometer")
      ->check(CLI::Range(0, 64));
  app.add_option("--charging-places", lines.bench.charging_places, "places with charger and thermometer")
      ->check(CLI::Range(0, 256));
  add_speech_options(app, lines.bench);
  app.add_option("--relay-boxes", lines.bench.relay_boxes,
                 "box-1, ...: eight outputs and eight inputs (Modbus)")
      ->check(CLI::Range(0, 16));
  app.add_option(
         "--wire", lines.wiring,
         "an output: \"box-1.0 isolates bay-1\" or \"box-1.1 connects load-1 to charge-1\"; may be repeated")
      ->allow_extra_args(false);
  app.add_option("--scale", lines.scale, "bench seconds per second")->check(CLI::Range(0.01, 100000.0));
  app.add_option("--seed", lines.bench.seed, "of the instruments' errors");
  app.add_flag("--ideal", lines.bench.ideal, "instruments without error, lines without delay");
  app.add_flag("--tcp", lines.tcp, "also serve each line on a TCP port that the kernel gives; see ports.txt");
  app.add_option("--tcp-port-base", lines.tcp_port_base, "also on TCP ports, from this one on")
      ->check(CLI::Range(1024, 65535));
  app.footer(after_options);
}

}  // namespace

int main(int argc, char** argv) {
  CLI::App app(about);
  leadwright::BenchLinesOptions lines;
  leadwright::RunHandOptions run;
  std::string command;

  app.add_option("--state", lines.state, "folder for lines/, benchsim.sock and bench_time.toml");
  add_bench_options(app, lines);

  CLI::App* asking = app.add_subcommand("ask", "send one command to a running benchsim and print its answer");
  asking->add_option("--state", lines.state, "its folder")->required();
  asking->add_option("command", command, "one of the commands below, as one argument")->required();
  asking->footer("Commands:\n" + leadwright::bench_command_help());

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
