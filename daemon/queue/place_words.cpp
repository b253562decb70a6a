// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/place_words.h"

#include <fmt/format.h>

#include "daemon/store/json.h"
#include "daemon/store/said_json.h"

namespace leadwright {

namespace {

std::string ask_json(const char* of, const std::string& text, const Phrases& said, bool takes_photo) {
  return fmt::format(R"({{"of":"{}","text":{},"said":{},"takes_photo":{}}})", of, json_string(text),
                     phrases_json(said), takes_photo);
}

}  // namespace

std::string doing(const Place& place) {
  switch (place.activity()) {
    case Activity::idle:
      return "Keeps batteries";
    case Activity::connecting:
      return "Connects to its instruments";
    case Activity::ready:
      return "Ready, everything off and read back";
    case Activity::running:
      return place.run()->progress().what;
    case Activity::tripped:
      return "Off after a trip";
    case Activity::asking:
      return "Waits for an answer";
    case Activity::out_of_service:
      return "Out of service";
  }
  return "";
}

Sentence place_needs(const Place& place) {
  if (!place.trip().empty()) {
    Sentence needs = place.trip_said();
    return needs.say("find_and_acknowledge", ": find the cause, then acknowledge the trip");
  }
  if (place.ask()) return {place.ask()->text, place.ask()->said};
  const auto paused = place.run() != nullptr ? place.run()->progress().paused : std::nullopt;
  if (paused) return say("stands_still", "it stands still, everything off: ").add(*paused);
  return {place.problem(), {}};
}

std::string ask_json(const Place& place) {
  if (const auto& ask = place.ask()) return ask_json(word(ask->of), ask->text, ask->said, ask->takes_photo);
  if (place.trip().empty()) return "null";
  return ask_json(word(AskOf::trip), place.trip(), place.trip_said().phrases(), false);
}

}  // namespace leadwright
