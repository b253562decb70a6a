// SPDX-License-Identifier: Apache-2.0
#include "tools/client/instrument/message_guard.h"

#include <algorithm>
#include <array>
#include <vector>

#include "protocol/ascii.h"

namespace leadwright {

namespace {

constexpr std::array<std::string_view, 3> bare_commands{"*CLS", "*OPC", "*WAI"};
constexpr std::array<std::string_view, 2> mask_commands{"*ESE", "*SRE"};
// Not *TST? and *CAL?: a self-test may close the output.
constexpr std::array<std::string_view, 7> common_questions{"*ESE?", "*ESR?", "*IDN?", "*OPC?",
                                                           "*OPT?", "*SRE?", "*STB?"};

/// Words of a header that may make an instrument act, even where they end in `?`: SCPI-1999 lets CALibration?
/// calibrate and TEST? test, INITiate and TRIGger start a prepared step of a setpoint, and a cleared trip may
/// switch the output on again. From so many letters on, any beginning of the word counts.
struct ActingWord {
  std::string_view word;
  std::size_t letters_min;
};
constexpr std::array<ActingWord, 9> acting_words{{{"CALIBRATION", 3},
                                                  {"CLEAR", 3},
                                                  {"DIAGNOSTIC", 4},
                                                  {"EXECUTE", 4},
                                                  {"INITIATE", 4},
                                                  {"SELFTEST", 4},
                                                  {"TEST", 4},
                                                  {"TRIGGER", 4},
                                                  {"TST", 3}}};

constexpr std::array<std::string_view, 6> argument_words{"MIN",     "MAX",     "DEF",
                                                         "MINIMUM", "MAXIMUM", "DEFAULT"};

bool is_letter(char c) {
  return c >= 'A' && c <= 'Z';
}
bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

/// Blanks off both ends.
std::string_view trim(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

template <std::size_t N>
bool is_one_of(const std::array<std::string_view, N>& words, std::string_view word) {
  return std::ranges::find(words, word) != words.end();
}

/// Without blanks at its ends, upper case, one blank for several: how two spellings of one command compare.
std::string spelling(std::string_view text) {
  std::string result;
  for (const char c : upper_ascii(trim(text))) {
    if (c != ' ' || result.back() != ' ') result.push_back(c);
  }
  return result;
}

/// The parts between separators, blanks trimmed; empty parts too.
std::vector<std::string_view> split(std::string_view text, char separator) {
  std::vector<std::string_view> parts;
  for (std::size_t begin = 0; begin <= text.size();) {
    const std::size_t end = std::min(text.find(separator, begin), text.size());
    parts.push_back(trim(text.substr(begin, end - begin)));
    begin = end + 1;
  }
  return parts;
}

/// One message unit, upper case.
struct Unit {
  std::string header;
  std::string argument;
};

Unit unit_of(std::string_view text) {
  const std::string whole = upper_ascii(text);
  const std::size_t blank = std::min(whole.find(' '), whole.size());
  return {whole.substr(0, blank), std::string(trim(std::string_view(whole).substr(blank)))};
}

bool is_mask(std::string_view text) {
  if (text.empty() || text.size() > 3 || !std::ranges::all_of(text, is_digit)) return false;
  int value = 0;
  for (const char c : text) value = value * 10 + (c - '0');
  return value <= 255;
}

bool is_harmless_command(const Unit& unit) {
  if (is_one_of(bare_commands, unit.header)) return unit.argument.empty();
  return is_one_of(mask_commands, unit.header) && is_mask(unit.argument);
}

/// A letter, then letters, digits and underscores.
bool is_mnemonic(std::string_view word) {
  return !word.empty() && is_letter(word.front()) &&
         std::ranges::all_of(word, [](char c) { return is_letter(c) || is_digit(c) || c == '_'; });
}

bool may_act(std::string_view mnemonic) {
  while (!mnemonic.empty() && is_digit(mnemonic.back())) mnemonic.remove_suffix(1);
  return std::ranges::any_of(acting_words, [mnemonic](const ActingWord& acting) {
    return mnemonic.size() >= acting.letters_min && acting.word.starts_with(mnemonic);
  });
}

bool is_channel_list(std::string_view text) {
  constexpr std::string_view inside = "0123456789,: ";
  return text.size() > 3 && text.starts_with("(@") && text.ends_with(")") &&
         text.substr(2, text.size() - 3).find_first_not_of(inside) == std::string_view::npos;
}

bool is_harmless_argument(std::string_view text) {
  return text.empty() || is_one_of(argument_words, text) || is_channel_list(text);
}

/// What is wrong with a question; null if nothing is.
const char* objection(const Unit& unit) {
  std::string_view header = unit.header;
  if (!header.ends_with('?')) return "is a command, not a question";
  if (header.starts_with('*')) {
    return is_one_of(common_questions, header) ? nullptr : "is no question that only reads";
  }
  header.remove_suffix(1);
  if (header.starts_with(':')) header.remove_prefix(1);
  for (const std::string_view mnemonic : split(header, ':')) {
    if (!is_mnemonic(mnemonic)) return "is not written like a question";
    if (may_act(mnemonic)) return "may make the instrument act";
  }
  return nullptr;
}

tl::unexpected<Error> refuse(std::string_view unit, const char* why) {
  return fail(Errc::refused, std::string(unit).append(" ").append(why), {},
              "only questions go out, and whole lines of the profile's [safe]");
}

/// What could hide a unit from us that an instrument sees: line ends and other control characters, quotes,
/// blocks (#), and letters that are no ASCII. Null if there is none.
const char* hiding_place(std::string_view message) {
  if (message.size() > guarded_message_max) return "is too long: an instrument may cut it in two";
  for (const char c : message) {
    if (c < ' ' || c > '~') return "holds a character that is not printable ASCII";
    if (c == '"' || c == '\'') return "holds a quotation mark, behind which a command could hide";
    if (c == '#') return "holds a #, behind which a command could hide";
  }
  return nullptr;
}

}  // namespace

Result<GuardedMessage> guard_message(std::string_view line, std::span<const std::string> safe_commands) {
  const std::string_view message = trim(line);
  for (const std::string& command : safe_commands) {
    if (spelling(command) == spelling(message)) return GuardedMessage{command, command.ends_with('?')};
  }
  if (const char* why = hiding_place(message)) return refuse("this line", why);
  GuardedMessage guarded{std::string(message), false};
  for (const std::string_view text : split(message, ';')) {
    const Unit unit = unit_of(text);
    if (is_harmless_command(unit)) continue;
    if (text.empty()) return refuse("this line", "is empty, or has an empty part");
    if (const char* why = objection(unit)) return refuse(text, why);
    if (!is_harmless_argument(unit.argument)) {
      return refuse(text, "has an argument other than MIN, MAX, DEF or a channel list");
    }
    guarded.is_question = true;
  }
  return guarded;
}

Result<void> check_only_asks(std::string_view message) {
  if (const char* why = hiding_place(message)) return refuse(message, why);
  for (const std::string_view text : split(message, ';')) {
    const Unit unit = unit_of(text);
    if (is_harmless_command(unit)) continue;
    if (!unit.header.ends_with('?')) return refuse(message, "does more than ask");
  }
  return {};
}

}  // namespace leadwright
