// SPDX-License-Identifier: Apache-2.0
// A line for the console: whatever is let through holds no unit outside the list, and neither switches the
// simulated instruments on nor raises one of their setpoints.
#include "tools/client/instrument/message_guard.h"

#include <algorithm>
#include <cctype>
#include <string>
#include <vector>

#include "daemon/clock/virtual_clock.h"
#include "protocol/scpi.h"
#include "tests/fuzz/target.h"
#include "tools/benchsim/battery_spec.h"
#include "tools/benchsim/sim_charger.h"
#include "tools/benchsim/sim_load.h"

namespace leadwright {
namespace {

const std::vector<std::string>& safe_commands() {
  static const std::vector<std::string> commands{"INP OFF", "OUTP OFF", "CURR 0"};
  return commands;
}

std::string upper(std::string text) {
  for (char& c : text) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  return text;
}

/// The least strict reading of a unit that could find a command in it: its first word.
void check_unit(const std::string& text) {
  std::size_t begin = text.find_first_not_of(' ');
  promise(begin != std::string::npos, "no unit is empty");
  const std::size_t end = std::min(text.find(' ', begin), text.size());
  const std::string header = upper(text.substr(begin, end - begin));
  const bool is_listed =
      header == "*CLS" || header == "*OPC" || header == "*WAI" || header == "*ESE" || header == "*SRE";
  promise(is_listed || (header.size() > 1 && header.back() == '?'), "every unit asks or is on the list");
  promise(std::count(header.begin(), header.end(), '?') == (is_listed ? 0 : 1), "a header asks once");
  for (std::size_t at = 0; at < header.size();) {
    const std::size_t colon = std::min(header.find_first_of(":?", at), header.size());
    std::string word = header.substr(at, colon - at);
    while (!word.empty() && word.back() >= '0' && word.back() <= '9') word.pop_back();
    for (const char* acting : {"*TST", "*CAL", "*RST", "*TRG", "CAL", "CALIBRATION", "CLE", "CLEAR", "DIAG",
                               "TEST", "TST", "INIT", "INITIATE", "TRIG", "TRIGGER"}) {
      promise(word != acting, "no unit makes an instrument act");
    }
    at = colon + 1;
  }
}

void check_text(const std::string& text) {
  promise(text.size() <= guarded_message_max, "what goes out is short");
  for (const char c : text) {
    promise(c >= ' ' && c <= '~', "what goes out is printable");
    promise(c != '"' && c != '\'' && c != '#', "nothing can hide in what goes out");
  }
  for (std::size_t begin = 0; begin <= text.size();) {
    const std::size_t end = std::min(text.find(';', begin), text.size());
    check_unit(text.substr(begin, end - begin));
    begin = end + 1;
  }
}

double number_of(SimInstrument& instrument, const char* question) {
  std::string answer;
  instrument.exchange(question, answer);
  const auto number = read_scpi_number(answer);
  promise(number && !number->missing, "a simulated setting can be read");
  return number->value;
}

/// A load and a charger that stand on with small setpoints.
struct Post {
  Post() {
    standing.battery = make_battery("cell:sound").value();
    terminals.clamp(&standing, clock.now());
    std::string none;
    load.exchange("CURR 2\n", none);
    charger.exchange("VOLT 3;:CURR 2\n", none);
  }
  VirtualClock clock;
  StandingBattery standing;
  Terminals terminals;
  SimLoad load{{"1", true, 1}, terminals, clock};
  SimCharger charger{{"1", true, 1}, terminals, clock};
};

void check_effect(const std::string& text) {
  Post post;
  std::string answers;
  const std::string bytes = text + "\n";
  post.load.exchange(bytes, answers);
  post.charger.exchange(bytes, answers);
  promise(number_of(post.load, "INP?\n") == 0.0, "the load stays off");
  promise(number_of(post.load, "CURR?\n") <= 2.0, "the load's setpoint is not raised");
  promise(number_of(post.charger, "OUTP?\n") == 0.0, "the charger stays off");
  promise(number_of(post.charger, "CURR?\n") <= 2.0, "the charger's limit is not raised");
  promise(number_of(post.charger, "VOLT?\n") <= 3.0, "the charger's voltage is not raised");
}

void check(std::string_view line) {
  const auto guarded = guard_message(line, safe_commands());
  if (!guarded) {
    promise(guarded.error().code == Errc::refused && !guarded.error().what.empty(), "a refusal has a reason");
    return;
  }
  const bool is_safe = std::ranges::find(safe_commands(), guarded->text) != safe_commands().end();
  if (!is_safe) check_text(guarded->text);
  promise(is_safe || check_only_asks(guarded->text).has_value(), "what goes out only asks");
  promise(guard_message(guarded->text, safe_commands()).has_value(), "what went out once goes out again");
  check_effect(guarded->text);
}

}  // namespace
}  // namespace leadwright

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  std::string_view line = leadwright::text_of(data, size);
  // A file of the corpus ends with a line end, which the console takes off.
  if (line.ends_with('\n')) line.remove_suffix(1);
  leadwright::check(line);
  return 0;
}
