// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/alarm_calls.h"

#include <array>

#include "daemon/battery/people.h"

namespace leadwright {

const char* word(AlarmCall::Kind kind) {
  constexpr std::array words{"begun", "repeated", "escalated", "test"};
  return words[static_cast<std::size_t>(kind)];
}

void AlarmCalls::follow(const std::string& place, const std::string& what) {
  const auto found = open_.find(place);
  if (what.empty()) {
    if (found != open_.end()) open_.erase(found);
    return;
  }
  if (found != open_.end()) {
    found->second.what = what;
    return;
  }
  Open& open = open_.try_emplace(place, machine_).first->second;
  open.what = what;
  arm(place, open);
  if (hook) hook({AlarmCall::Kind::begun, place, what});
}

void AlarmCalls::arm(const std::string& place, Open& open) {
  open.again.set(machine_.now() + settings_.repeat, [this, place] { call_again(place); });
}

void AlarmCalls::call_again(const std::string& place) {
  Open& open = open_.at(place);
  const bool escalates = open.calls >= settings_.escalate_after && !settings_.second_command.empty();
  ++open.calls;
  arm(place, open);
  if (hook) hook({escalates ? AlarmCall::Kind::escalated : AlarmCall::Kind::repeated, place, open.what});
}

Result<void> AlarmCalls::test(const std::string& place, const std::string& actor) {
  if (!hook) {
    return fail(
        Errc::conflict, "no alarm command is configured", "[alarm]",
        "add [alarm] command = [\"/path/of/a/program\"] to leadwright.toml and start the daemon again");
  }
  hook({AlarmCall::Kind::test, place, "a test of the alarm by " + person_words(actor)});
  return {};
}

}  // namespace leadwright
