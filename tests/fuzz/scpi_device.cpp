// SPDX-License-Identifier: Apache-2.0
// Bytes to the simulated load: answers don't depend on how the bytes are cut up, and it serves on after them.
#include <algorithm>
#include <memory>

#include "daemon/clock/virtual_clock.h"
#include "protocol/scpi.h"
#include "tests/fuzz/target.h"
#include "tools/benchsim/battery_spec.h"
#include "tools/benchsim/sim_load.h"

namespace leadwright {
namespace {

constexpr std::string_view identity = "Leadwright,simulated load,1,sim-1\n";
constexpr int errors_max = 16;

/// A load on a sound battery, at an instant that does not move.
struct Post {
  Post() {
    standing.battery = make_battery("cell:sound").value();
    terminals.clamp(&standing, clock.now());
  }
  std::string ask(std::string_view bytes) {
    std::string answers;
    load.receive(bytes, answers);
    return answers;
  }

  VirtualClock clock;
  StandingBattery standing;
  Terminals terminals;
  SimLoad load{{"1", false, 1}, terminals, clock};
};

/// The same bytes in pieces of 1, 2, 3, ... bytes.
std::string ask_in_pieces(Post& post, std::string_view bytes) {
  std::string answers;
  for (std::size_t length = 1; !bytes.empty(); ++length) {
    const std::string_view piece = bytes.substr(0, length);
    post.load.receive(piece, answers);
    bytes.remove_prefix(piece.size());
  }
  return answers;
}

void check_error_queue(Post& post) {
  for (int i = 0; i <= errors_max; ++i) {
    const std::string answer = post.ask("SYST:ERR?\n");
    const auto fault = read_scpi_fault(answer);
    promise(fault.has_value(), "an error answer can be read");
    promise(read_scpi_string(std::string_view(answer).substr(answer.find(',') + 1)).has_value(),
            "an error's text is quoted");
    if (fault->number == 0) return;
  }
  promise(false, "the error queue is bounded");
}

void check(std::string_view bytes) {
  Post whole;
  Post cut;
  const std::string answers = whole.ask(bytes);
  promise(ask_in_pieces(cut, bytes) == answers, "the cuts do not matter");
  promise(std::count(answers.begin(), answers.end(), '\n') <= std::count(bytes.begin(), bytes.end(), '\n'),
          "at most one answer a message");
  promise(answers.empty() || answers.back() == '\n', "an answer is ended");
  static_cast<void>(whole.ask("\n"));
  check_error_queue(whole);
  promise(whole.ask("*IDN?\n") == identity, "it serves on");
  static_cast<void>(whole.ask("INP OFF;:CURR 0\n"));
  promise(whole.ask("INP?;:CURR?\n") == "0;0.000\n", "it can be switched off");
  promise(!(whole.terminals.load_amps().si() > 0.0), "nothing is drawn once it is off");
}

}  // namespace
}  // namespace leadwright

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  leadwright::check(leadwright::text_of(data, size));
  return 0;
}
