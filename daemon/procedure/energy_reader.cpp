// SPDX-License-Identifier: Apache-2.0
// What a draw, a charge and a pulse train say of currents and voltages.
#include <algorithm>

#include "daemon/procedure/step_reader.h"

namespace leadwright {
namespace {

constexpr Second pulse_lowest{0.1};
constexpr Second pulse_highest{60.0};
constexpr int pulses_max = 100;

void check_draw_ends_by_voltage(const TomlTable& table, const Step& step) {
  const auto by_volts = [](const Condition& condition) {
    return condition.when.uses(Name::volts) || condition.when.uses(Name::cell_volts);
  };
  if (step.cutoff || std::any_of(step.until.begin(), step.until.end(), by_volts) ||
      std::any_of(step.abort.begin(), step.abort.end(), by_volts)) {
    return;
  }
  table.error({}, "the draw \"" + step.name + "\" has no end by voltage",
              "write cutoff, or an until that uses volts");
}

void read_instead(const TomlTable& table, const Scope& scope, Step& step) {
  const auto other = table.table("instead");
  if (!other) return;
  Instead instead;
  if (auto amps = need_positive(*other, "amps", a_current, scope)) instead.amps = std::move(*amps);
  instead.cutoff = read_expression(*other, "cutoff", a_voltage, scope);
  instead.ends_at = read_expression(*other, "ends_at", a_voltage, scope);
  instead.at_most = read_expression(*other, "at_most", a_time, scope);
  instead.note = other->need_string("note");
  step.instead = std::move(instead);
}

void read_draw(const TomlTable& table, const Scope& scope, Step& step) {
  const int ways = int{table.has("amps")} + int{table.has("watts")} + int{table.has("ohms")};
  if (ways == 0) table.error("amps", "amps is missing", "write amps = \"25 A\", or watts, or ohms");
  if (ways > 1) table.error({}, "a draw has only one of amps, watts and ohms", "leave the others out");
  if (table.has("amps")) step.amps = need_positive(table, "amps", a_current, scope);
  if (table.has("watts")) step.watts = need_positive(table, "watts", a_power, scope);
  if (table.has("ohms")) step.ohms = need_positive(table, "ohms", a_resistance, scope);
  if (step.watts || step.ohms) step.amps_max = need_positive(table, "amps_max", a_current, scope);
  step.cutoff = read_expression(table, "cutoff", a_voltage, scope);
  step.ends_at = read_expression(table, "ends_at", a_voltage, scope);
  read_instead(table, scope, step);
}

/// The end by taper as an end condition like any other.
void read_taper(const TomlTable& table, const Scope& scope, Step& step) {
  const auto taper = read_expression(table, "taper", a_current, scope);
  const auto hold = read_duration(table, "taper_hold", Second(1.0), energised_longest);
  if (!taper || !step.volts) return;
  // 80 mV below its limit a charger counts as standing there (common practice, no source).
  const std::string when = "volts > (" + step.volts->text() + ") - 80 mV and amps < (" + taper->text() + ")";
  auto condition = Expression::parse(when, table.where("taper"), scope);
  if (!condition) return table.error("taper", condition.error().what, condition.error().mend);
  step.until.push_back(
      {"the current has fallen to the taper", std::move(*condition), hold.value_or(Second(600.0))});
}

void read_charge(const TomlTable& table, const Scope& scope, Step& step) {
  step.amps = need_positive(table, "amps", a_current, scope);
  step.volts = need_positive(table, "volts", a_voltage, scope);
  step.watts = read_expression(table, "watts", a_power, scope);
  read_taper(table, scope, step);
}

void read_pulse(const TomlTable& table, const Scope& scope, Step& step) {
  step.amps = need_positive(table, "amps", a_current, scope);
  step.cutoff = read_expression(table, "cutoff", a_voltage, scope);
  read_instead(table, scope, step);
  PulseTrain train;
  auto base = table.has("base") ? need_positive(table, "base", a_current, scope)
                                : std::optional(*Expression::parse("1 A", table.where()));
  if (base) train.base = std::move(*base);
  if (auto width = read_duration(table, "width", pulse_lowest, pulse_highest)) train.width = *width;
  if (auto pause = read_duration(table, "pause", pulse_lowest, pulse_highest)) train.pause = *pause;
  const std::int64_t count = table.need_integer("count");
  if (table.has("count") && (count < 1 || count > pulses_max)) {
    table.error("count", "a train has 1 to 100 pulses", "write count = 5");
  }
  train.count = static_cast<int>(std::clamp<std::int64_t>(count, 1, pulses_max));
  step.pulse = std::move(train);
}

}  // namespace

void read_energy(const TomlTable& table, const Scope& scope, Step& step) {
  step.until = read_conditions(table, "until", scope);
  if (step.kind == StepKind::draw) read_draw(table, scope, step);
  if (step.kind == StepKind::charge) read_charge(table, scope, step);
  if (step.kind == StepKind::pulse) read_pulse(table, scope, step);
  step.abort = read_conditions(table, "abort", scope);
  if (draws(step.kind)) check_draw_ends_by_voltage(table, step);
}

}  // namespace leadwright
