// SPDX-License-Identifier: Apache-2.0
#include "tools/client/design_commands.h"

#include <algorithm>
#include <iostream>
#include <set>
#include <utility>

#include "daemon/battery/design_curve_text.h"
#include "tools/client/call.h"
#include "tools/client/design_learning.h"

namespace leadwright {
namespace {

struct Lesson {
  SoundBattery battery;
  SoundDischarge discharge;
};

Result<Lesson> lesson_of(const ClientOptions& client, const std::string& ticket) {
  auto body = ask(client, {"GET", "/api/v1/tickets/" + path_segment(ticket), ""});
  if (!body) return pass(body);
  auto battery = sound_battery(*body);
  if (!battery) return pass(battery);
  auto trace = ask(client, {"GET", "/api/v1/runs/" + path_segment(battery->run) + "/trace?every=1", ""});
  if (!trace) return pass(trace);
  auto discharge = sound_discharge(*battery, *trace);
  if (!discharge) return pass(discharge);
  return Lesson{std::move(*battery), std::move(*discharge)};
}

}  // namespace

ExitCode design_learn(const ClientOptions& client, const DesignLearnOptions& options) {
  std::vector<Lesson> lessons;
  std::set<std::string> serials;
  for (const std::string& ticket : options.tickets) {
    auto lesson = lesson_of(client, ticket);
    if (!lesson) {
      if (lesson.error().code != Errc::unsupported) return report(client, lesson.error());
      std::cerr << "leadwright: " << ticket << " is left out: " << lesson.error().what << '\n';
      continue;
    }
    if (!serials.insert(lesson->battery.serial).second) {
      std::cerr << "leadwright: " << ticket << " is left out: its battery is there already\n";
      continue;
    }
    lessons.push_back(std::move(*lesson));
  }
  std::vector<DesignTrace> traces;
  for (const Lesson& lesson : lessons) {
    if (!(lesson.battery.key == lessons.front().battery.key)) {
      return report(client,
                    {Errc::bad_input, "the tickets are of more than one design", lesson.battery.serial,
                     "name tickets of one size, chemistry and rated reserve capacity"});
    }
    traces.push_back({lesson.discharge.samples, lesson.discharge.full_from, lesson.discharge.at_full,
                      lesson.battery.cells});
  }
  const DesignKey key = lessons.empty() ? DesignKey{} : lessons.front().battery.key;
  const auto curve = learn_design(key, options.version, traces);
  if (curve) return write_text(client, text(*curve), options.out.empty() ? "-" : options.out, "--out");
  report(client, curve.error());
  return ExitCode::negative;
}

}  // namespace leadwright
