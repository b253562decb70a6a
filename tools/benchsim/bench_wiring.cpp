// SPDX-License-Identifier: Apache-2.0
// How the outputs of relay boxes are wired, by sentences.
#include <algorithm>
#include <utility>

#include "tools/benchsim/bench_parts.h"
#include "tools/benchsim/command_words.h"

namespace leadwright {

namespace {

constexpr const char* sentences =
    "write \"box-1.0 isolates bay-1\" or \"box-1.1 connects load-1 to charge-1\"";

std::vector<std::string_view> words_of(std::string_view text) {
  std::vector<std::string_view> words;
  for (auto word = take_word(text); !word.empty(); word = take_word(text)) words.push_back(word);
  return words;
}

}  // namespace

Result<void> SimBench::wire(std::string_view sentence) {
  const std::vector<std::string_view> words = words_of(sentence);
  const bool isolates = words.size() == 3 && words[1] == "isolates";
  const bool connects = words.size() == 5 && words[1] == "connects" && words[3] == "to";
  if (!isolates && !connects) {
    return fail(Errc::bad_input, "can't read the wiring", std::string(sentence), sentences);
  }
  auto of_box = contact(words[0]);
  if (!of_box) return pass(of_box);
  nowhere_.settle(bench_.now());
  return isolates ? wire_isolator(*of_box, words[2]) : wire_selector(*of_box, words[2], words[4]);
}

Result<SimContact> SimBench::contact(std::string_view output) {
  const std::size_t dot = std::min(output.rfind('.'), output.size());
  RelayBox* box = relay_box(output.substr(0, dot));
  if (!box) {
    return fail(Errc::not_found, "no such relay box", std::string(output.substr(0, dot)),
                "instruments shows those that there are");
  }
  const std::string_view digits = output.substr(std::min(dot + 1, output.size()));
  const auto number = number_word(digits, 0, RelayPart::outputs - 1);
  if (!number)
    return fail(Errc::bad_input, "no such output", std::string(output), "a box has outputs 0 to 7");
  if (contacts_.uses(box->relays(), *number)) {
    return fail(Errc::conflict, "the output is wired already", std::string(output), "take another");
  }
  return SimContact{&box->relays(), *number};
}

Result<void> SimBench::wire_isolator(SimContact contact, std::string_view place) {
  Place* at = place_of(place);
  if (!at) return fail(Errc::not_found, "no such place", std::string(place), "list shows the places");
  at->terminals.settle(bench_.now());
  contacts_.add_isolator(contact, at->terminals);
  return {};
}

Result<void> SimBench::wire_selector(SimContact contact, std::string_view instrument,
                                     std::string_view place) {
  Place* at = place_of(place);
  if (!at) return fail(Errc::not_found, "no such place", std::string(place), "list shows the places");
  Equipped* shared = equipped(instrument);
  if (!shared || !shared->leads) {
    return fail(Errc::not_found, "no such shared instrument", std::string(instrument),
                "shared instruments are load-1, charger-1 and so on, if the bench has them");
  }
  bool& is_taken = shared->kind == Equipped::Kind::load ? at->takes_load : at->takes_charger;
  if (is_taken) {
    const char* what = shared->kind == Equipped::Kind::load ? "a load already" : "a charger already";
    return fail(Errc::conflict, std::string("the place has ").append(what), std::string(place),
                "take a place without one, or build the bench without them");
  }
  is_taken = true;
  at->terminals.settle(bench_.now());
  contacts_.add_selector(contact, *shared->instrument, *shared->leads, at->name, at->terminals);
  return {};
}

}  // namespace leadwright
