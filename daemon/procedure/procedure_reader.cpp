// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <utility>

#include "daemon/battery/content_hash.h"
#include "daemon/procedure/procedure.h"
#include "daemon/procedure/step_reader.h"
#include "protocol/toml_reader.h"

namespace leadwright {
namespace {

constexpr std::size_t steps_max = 64;
/// A daemon that is started again by itself needs some seconds, and a battery that stood for half a day is
/// looked at by a person first (our own rule).
constexpr Second interruption_shortest{60.0};
constexpr Second interruption_longest = hours(12.0);

void read_needs(const TomlTable& root, Procedure& procedure) {
  const std::vector<std::string> known{"load", "charger", "thermometer"};
  for (const std::string& need : root.strings("needs")) {
    procedure.needs_load |= need == "load";
    procedure.needs_charger |= need == "charger";
    procedure.needs_thermometer |= need == "thermometer";
    if (std::find(known.begin(), known.end(), need) != known.end()) continue;
    const std::string near = near_match(need, known);
    root.error("needs", "no instrument is a \"" + need + "\"",
               near.empty() ? "one of load, charger, thermometer" : "did you mean \"" + near + "\"?");
  }
}

void read_limits(const TomlTable& table, const Scope& scope, EnvelopeLimits& limits) {
  limits.volts_min = read_expression(table, "volts_min", a_voltage, scope);
  limits.volts_max = read_expression(table, "volts_max", a_voltage, scope);
  limits.amps_max = read_expression(table, "amps_max", a_current, scope);
  limits.case_min = read_expression(table, "case_min", a_temperature, scope);
  limits.case_max = read_expression(table, "case_max", a_temperature, scope);
  limits.charge_max = read_expression(table, "charge_max", a_charge, scope);
  limits.time_max = read_expression(table, "time_max", a_time, scope);
}

void read_interruption(const TomlTable& root, Procedure& procedure) {
  const std::string rule = root.string("after_interruption").value_or("void");
  procedure.resumes = rule == "resume";
  if (rule != "void" && rule != "resume") {
    root.error("after_interruption", "a run is not \"" + rule + "\" after an interruption",
               "\"void\", or \"resume\" where nothing is measured in one piece");
  }
  if (const auto longest =
          read_duration(root, "interruption_max", interruption_shortest, interruption_longest)) {
    procedure.interruption_max = *longest;
  }
  if (root.has("interruption_max") && !procedure.resumes) {
    root.error("interruption_max", "nothing goes on after an interruption",
               "write after_interruption = \"resume\"");
  }
}

bool uses_temperature(const Procedure& procedure) {
  const auto by_temperature = [](const Condition& condition) {
    return condition.when.uses(Name::case_temperature) || condition.when.uses(Name::warming);
  };
  const auto in_step = [&](const Step& step) {
    return (step.volts && step.volts->uses(Name::charge_volts)) ||
           std::any_of(step.until.begin(), step.until.end(), by_temperature) ||
           std::any_of(step.abort.begin(), step.abort.end(), by_temperature);
  };
  return procedure.limits().case_max || procedure.limits().case_min ||
         std::any_of(procedure.steps.begin(), procedure.steps.end(), in_step);
}

void check_needs(const TomlTable& root, const Procedure& procedure) {
  const auto has = [&](StepKind kind) {
    return std::any_of(procedure.steps.begin(), procedure.steps.end(),
                       [&](const Step& step) { return step.kind == kind; });
  };
  const auto demand = [&](bool needed, bool stated, const char* instrument, const char* why) {
    if (!needed || stated) return;
    root.error("needs", std::string(why) + " without a " + instrument,
               std::string("add \"") + instrument + "\" to needs");
  };
  demand(has(StepKind::draw) || has(StepKind::pulse), procedure.needs_load, "load", "a draw can't be made");
  demand(has(StepKind::charge), procedure.needs_charger, "charger", "a charge can't be made");
  demand(uses_temperature(procedure), procedure.needs_thermometer, "thermometer",
         "a temperature can't be judged");
}

}  // namespace

tl::expected<Procedure, std::vector<Error>> read_procedure(std::string_view text, const std::string& file) {
  TomlDocument document = TomlDocument::parse(text, file);
  const TomlTable& root = document.root();
  Procedure procedure;
  procedure.file = file;
  procedure.hash = content_hash(text);
  procedure.name = root.need_string("name");
  const std::int64_t version = root.need_integer("version");
  if (root.has("version") && (version < 1 || version > 1000000)) {
    root.error("version", "a version is a whole number from 1", "count up when the procedure changes");
  }
  procedure.version = static_cast<int>(std::clamp<std::int64_t>(version, 1, 1000000));
  procedure.what = root.need_string("what");
  procedure.attended = root.boolean("attended").value_or(false);
  procedure.consent = root.string("consent").value_or("");
  read_needs(root, procedure);
  read_interruption(root, procedure);

  Draft draft;
  Frame frame;
  frame.procedure = procedure.name;
  read_names(root, draft, frame);
  if (const auto limits = root.table("limits")) read_limits(*limits, draft.scope, frame.limits);
  procedure.frames.front() = std::move(frame);
  const std::vector<TomlTable> steps = root.tables("step");
  if (steps.empty()) root.error("step", "the procedure has no steps", "write [[step]]");
  if (steps.size() > steps_max) root.error("step", "more than 64 steps", "split the procedure");
  for (const TomlTable& step : steps) {
    if (draft.steps.size() == steps_max) break;
    read_step(step, draft);
  }
  resolve_jumps(draft);
  procedure.steps = std::move(draft.steps);
  check_needs(root, procedure);
  document.finish();
  if (!document.errors().empty()) return tl::unexpected(document.errors());
  return procedure;
}

}  // namespace leadwright
