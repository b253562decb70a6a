// SPDX-License-Identifier: Apache-2.0
#include "tools/client/design_learning.h"

#include <algorithm>

#include "daemon/battery/discharge.h"
#include "daemon/battery/reserve_capacity.h"
#include "tools/client/json_view.h"

namespace leadwright {
namespace {

namespace json = boost::json;

constexpr double sound_share_min = 0.90;
constexpr double share_full = 0.98;

tl::unexpected<Error> may_not_teach(std::string why) {
  return fail(Errc::unsupported, std::move(why), "ticket", "leave it out");
}

/// Minutes at reference temperature of that run.
std::optional<double> minutes_of(const json::value& ticket, const std::string& run) {
  for (const json::value& finding : items(member(ticket, "findings"))) {
    if (words(member(finding, "measurand")) != key(Measurand::reserve_capacity_ref)) continue;
    if (words(member(finding, "run")) == run) return number(member(finding, "value"));
  }
  return {};
}

std::optional<Volt> volts_of(const json::value& sample) {
  const auto volts = number(member(sample, "volts_v"));
  return volts ? std::optional(Volt(*volts)) : std::nullopt;
}

std::optional<Ampere> amps_of(const json::value& sample) {
  const auto amps = number(member(sample, "amps_a"));
  return amps ? std::optional(Ampere(*amps)) : std::nullopt;
}

bool is_full(const Sample& sample) {
  return sample.amps && *sample.amps >= reserve_capacity_current * share_full;
}

}  // namespace

Result<SoundBattery> sound_battery(std::string_view ticket_text) {
  const auto ticket = parse_json(ticket_text);
  if (!ticket) return fail(Errc::garbled, "the bench's answer is no ticket", "ticket");
  const json::value& battery = member(*ticket, "battery");
  SoundBattery sound;
  sound.serial = words(member(battery, "serial"));
  Nameplate plate;
  plate.size_code = words(member(battery, "size_code"));
  plate.chemistry = chemistry_of(words(member(battery, "chemistry"))).value_or(Chemistry::unknown);
  if (const auto rated = number(member(battery, "reserve_capacity_min")))
    plate.reserve_capacity = Rating<Second>{minutes(*rated)};
  const auto design = design_of(plate);
  if (!design) return may_not_teach("its label states no size, or no reserve capacity");
  sound.key = *design;
  sound.cells = static_cast<int>(number(member(battery, "cells")).value_or(0.0));
  const std::string letter = words(member(member(*ticket, "grade"), "letter"));
  if (!items(member(*ticket, "faults")).empty() || (letter != "A" && letter != "B"))
    return may_not_teach("it is not graded A or B, or has a fault");
  for (const json::value& run : items(member(*ticket, "runs"))) {
    const bool complete = words(member(run, "outcome")) == word(RunOutcome::complete);
    if (complete && minutes_of(*ticket, words(member(run, "run")))) sound.run = words(member(run, "run"));
  }
  if (sound.run.empty()) return may_not_teach("it has no complete reserve capacity run");
  if (*minutes_of(*ticket, sound.run) < sound_share_min * as_minutes(sound.key.rated))
    return may_not_teach("it gave less than 90 % of its rating, so it is not as new");
  return sound;
}

Result<SoundDischarge> sound_discharge(const SoundBattery& battery, std::string_view trace_text) {
  const auto body = parse_json(trace_text);
  if (!body) return fail(Errc::garbled, "the bench's answer is no trace", battery.run);
  Trace trace;
  std::optional<int> step;
  Trace::StepSpan draw;
  for (const json::value& row : items(member(*body, "samples"))) {
    Sample sample;
    sample.at = Second(number(member(row, "t_s")).value_or(0.0));
    sample.step = static_cast<int>(number(member(row, "step")).value_or(0.0));
    sample.volts = volts_of(row);
    sample.amps = amps_of(row);
    if (!step && is_full(sample)) step = sample.step;
    trace.samples.push_back(sample);
  }
  if (!step) return fail(Errc::unsupported, "its trace has no draw at 25 A", battery.run, "leave it out");
  draw.first = trace.samples.size();
  for (std::size_t i = 0; i < trace.samples.size(); ++i) {
    if (trace.samples[i].step != *step) continue;
    draw.first = std::min(draw.first, i);
    draw.last = i + 1;
  }
  draw.started_at = trace.samples[draw.first].at;
  const Volt cutoff = reserve_capacity_cell_cutoff * static_cast<double>(battery.cells);
  const auto found = discharge_of(trace, draw, {reserve_capacity_current, cutoff});
  if (!found) return tl::unexpected<Error>(found.error());
  SoundDischarge result;
  result.at_full = found->at_full;
  std::optional<Second> from;
  for (std::size_t i = draw.first; i < draw.last; ++i) {
    if (!from && is_full(trace.samples[i])) from = trace.samples[i].at;
    if (from) result.samples.push_back(trace.samples[i]);
  }
  result.full_from = *from;
  return result;
}

}  // namespace leadwright
