// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/trace_rehearsal.h"

#include <fmt/format.h>

#include <fstream>

#include "daemon/settings/log.h"
#include "daemon/store/json.h"
#include "drivers/wire_text.h"
#include "tools/benchsim/replay_battery.h"
#include "tools/rehearse/world.h"

namespace leadwright {

namespace {

constexpr const char* bay = "bay-1";

std::optional<double> value_of(const std::vector<Finding>& findings, Measurand measurand) {
  for (const Finding& finding : findings) {
    if (finding.measurand == measurand) return finding.value;
  }
  return std::nullopt;
}

Error refused(const Response& response, const std::string& file) {
  return {Errc::bad_input, response.body, file, ""};
}

/// Opens an output file, or says why not; an empty name opens nothing.
Result<void> open_output(std::ofstream& stream, const std::string& name) {
  if (name.empty()) return {};
  stream.open(name, std::ios::trunc | std::ios::binary);
  if (!stream) return fail(Errc::io, "can't write", name, "check the folder");
  return {};
}

Result<TraceRehearsal> rehearse_one(World& world, const std::string& file) {
  Result<ReplayTrace> trace = load_replay(file);
  if (!trace) return pass(trace);
  const int cells = trace->cells;
  const auto plugged = world.sim().plug(
      bay, std::make_unique<ReplayBattery>(std::make_shared<const ReplayTrace>(std::move(*trace))));
  if (!plugged) return tl::unexpected<Error>(plugged.error());
  const std::string drop_off = fmt::format(
      R"({{"battery":{{"serial":{},"chemistry":"flooded","cells":{}}},"procedures":["reserve capacity"]}})",
      json_string(fmt::format("replay {}", *plugged)), cells);
  const Response added = world.ask("ticket.add", "", drop_off);
  if (added.status != 201) return tl::unexpected<Error>(refused(added, file));
  const std::string ticket = shown(world.bench().ledger().files().rbegin()->first);
  const Response moved = world.ask("ticket.move", ticket, fmt::format(R"({{"place":"{}"}})", bay));
  if (moved.status != 200) return tl::unexpected<Error>(refused(moved, file));

  TraceRehearsal rehearsal;
  rehearsal.file = file;
  const std::uint64_t exchanges_before = world.exchanges();
  world.bench().on_run_ended = [&rehearsal](const Place&, const RunResult& result) {
    rehearsal.end_reason = result.run.end_reason;
    rehearsal.samples = result.trace.samples.size();
    rehearsal.reserve_capacity_min = value_of(result.findings, Measurand::reserve_capacity);
    for (const Finding& finding : result.findings) {
      if (finding.measurand == Measurand::reserve_capacity) rehearsal.reserve_capacity_u_min = finding.u;
    }
    rehearsal.ah = value_of(result.findings, Measurand::delivered);
    rehearsal.temperature_degc = value_of(result.findings, Measurand::temperature);
    for (const auto& step : result.trace.steps) {
      if (step.name == "draw" && result.run.outcome == RunOutcome::complete) rehearsal.end_reason = step.end;
    }
  };
  const Response started = world.start(bay);
  if (started.status != 202) return tl::unexpected<Error>(refused(started, file));
  if (!world.finish(bay)) return fail(Errc::timed_out, "the run did not end", file, "");
  rehearsal.exchanges = world.exchanges() - exchanges_before;
  const Response back = world.ask("ticket.move", ticket, R"({"place":"shelf"})");
  if (back.status != 200) return tl::unexpected<Error>(refused(back, file));
  const Result<void> unplugged = world.sim().unplug(bay);
  if (!unplugged) return tl::unexpected<Error>(unplugged.error());
  return rehearsal;
}

}  // namespace

Result<std::vector<TraceRehearsal>> rehearse_traces(const TraceRehearsalOptions& options) {
  std::ofstream wire;
  std::ofstream log;
  if (auto opened = open_output(wire, options.wire_file); !opened) return pass(opened);
  if (auto opened = open_output(log, options.log_file); !opened) return pass(opened);
  WorldOptions world_options;
  world_options.config_folder = options.config_folder;
  world_options.seed = options.seed;
  world_options.ideal = !options.realistic;
  // Where none is for charging, the bay would go on with the recharge.
  world_options.charging_places = 1;
  if (wire.is_open()) {
    world_options.tap = [&wire](const std::string& link, bool outward, std::string_view bytes, Instant at) {
      wire << at.ns() << ' ' << link << (outward ? " > " : " < ") << escaped(bytes) << '\n';
    };
  }
  auto world = World::make(std::move(world_options));
  if (!world) return tl::unexpected<Error>(world.error().front());
  if (log.is_open()) {
    log_to([&log, &world](Level, std::string_view line) {
      log << (*world)->clock().utc().rfc3339() << ' ' << line << '\n';
    });
  }
  std::vector<TraceRehearsal> rehearsals;
  Result<void> outcome;
  for (const std::string& file : options.files) {
    Result<TraceRehearsal> rehearsal = rehearse_one(**world, file);
    if (!rehearsal) {
      outcome = pass(rehearsal);
      break;
    }
    rehearsals.push_back(std::move(*rehearsal));
  }
  log_to({});
  if (!outcome) return pass(outcome);
  return rehearsals;
}

std::string trace_rehearsals_json(const std::vector<TraceRehearsal>& rehearsals) {
  const auto number = [](const std::optional<double>& value) { return value ? json_number(*value) : "null"; };
  std::string text = "[";
  for (const TraceRehearsal& each : rehearsals) {
    if (text.size() > 1) text += ",\n ";
    text += fmt::format(
        R"({{"file":{},"reserve_capacity_min":{},"reserve_capacity_u_min":{},"ah":{},"temperature_degc":{},)"
        R"("end_reason":{},"exchanges":{},"samples":{}}})",
        json_string(each.file), number(each.reserve_capacity_min), number(each.reserve_capacity_u_min),
        number(each.ah), number(each.temperature_degc), json_string(each.end_reason), each.exchanges,
        each.samples);
  }
  return text + "]\n";
}

}  // namespace leadwright
