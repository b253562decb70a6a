// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/faults.h"

#include <algorithm>
#include <utility>

#include "daemon/battery/trace_reading.h"
#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

constexpr Volt reversed_below{-0.5};    // P
constexpr Volt no_voltage_within{0.5};  // P
constexpr Volt six_volt_highest{7.5};   // P: three full cells rest at 6.4 V
// C: three rested cells of 1.90 V (Bode at 0.7 mol/kg) to 2.17 V, with room for the meter.
constexpr Volt three_cells_lowest{5.65};
constexpr Volt three_cells_highest{6.65};
// F: a shorted cell shows as about 2.1 V less, 10.3-10.8 V of a 12 V block. Per cell that is left, with the
// state of charge of the others open:
constexpr Volt good_cell_lowest{1.95};
constexpr Volt good_cell_highest{2.17};
constexpr Volt held_sag_per_cell_max{0.10};  // P: an empty battery sags more under 5 A
constexpr Volt sound_cell_lowest{1.90};      // C: Bode at 0.7 mol/kg, weaker acid than any rested cell's
// P: a light draw costs a sulphated battery a tenth of its voltage, a broken connection most of it.
constexpr double share_collapsed = 0.75;
// M: 1.300 acid rests at 2.145 V; surface charge goes under a light draw.
constexpr Volt lead_cell_rested_highest{2.23};
constexpr Volt lead_cell_drawn_highest{2.17};
constexpr Volt lead_cell_ever_highest{2.40};
constexpr Ampere light_draw_least{2.0};
constexpr Second fault_window{20.0};

Fault fault(FaultKind kind, const Sentence& evidence) {
  Fault result;
  result.kind = kind;
  result.evidence = evidence.text();
  result.said = evidence.phrases();
  return result;
}

PhraseValue volts_of(const char* name, Volt volts) {
  return said_amount(name, volts.si(), 2, "V");
}

Sentence no_lead_holds(int cells) {
  return say("no_lead_holds", ": no lead battery of {cells} cells holds that", {said_count("cells", cells)});
}

bool shows_shorted_cell(const IntakeReadings& readings, int cells) {
  const auto left = static_cast<double>(cells - 1);
  if (readings.open_circuit < good_cell_lowest * left || readings.open_circuit > good_cell_highest * left)
    return false;
  if (!readings.draw || readings.draw->end.amps < light_draw_least) return false;
  return readings.open_circuit - readings.draw->end.volts < held_sag_per_cell_max * left;
}

bool shows_other_chemistry(const IntakeReadings& readings, int cells) {
  const auto count = static_cast<double>(cells);
  if (readings.open_circuit > lead_cell_ever_highest * count) return true;
  if (readings.rested && readings.open_circuit > lead_cell_rested_highest * count) return true;
  return readings.draw && readings.draw->end.amps >= light_draw_least &&
         readings.draw->end.volts > lead_cell_drawn_highest * count;
}

Result<LightDraw> light_draw(const Trace& trace, const std::string& name) {
  auto span = span_named(trace, name);
  if (!span) return pass(span);
  const auto samples = samples_of(trace, *span);
  auto volts = last_volts(samples, fault_window);
  if (!volts) return pass(volts);
  auto amps = last_amps(samples, fault_window);
  if (!amps) return pass(amps);
  Volt lowest = *samples.back().volts;
  for (const Sample& sample : samples)
    if (sample.volts) lowest = std::min(lowest, *sample.volts);
  return LightDraw{{volts->mean, amps->mean}, lowest};
}

}  // namespace

std::vector<Fault> faults_of(const IntakeReadings& readings, const Nameplate& nameplate) {
  const Volt ocv = readings.open_circuit;
  const Sentence reads = say("seen_ocv", "{volts} open circuit", {volts_of("volts", ocv)});
  const auto shows = [&reads](const Sentence& what) { return Sentence(reads).add(what); };
  if (ocv < reversed_below)
    return {fault(FaultKind::reversed, shows(say("seen_reversed", ": the poles are reversed")))};
  if (ocv <= no_voltage_within) {
    return {
        fault(FaultKind::open_circuit, shows(say("seen_no_voltage", ": there is no voltage at the posts")))};
  }
  const int cells = nameplate.cells;
  // Below and above that a battery of six may simply be flat.
  if (cells == 6 && ocv > three_cells_lowest && ocv < three_cells_highest) {
    return {fault(FaultKind::wrong_cell_count,
                  shows(say("seen_three_cells", " is what three cells show, not six: count the cells")))};
  }
  if (cells == 3 && ocv > six_volt_highest) {
    return {fault(FaultKind::wrong_cell_count,
                  shows(say("seen_six_cells", " is too much for three cells: count the cells")))};
  }
  std::vector<Fault> faults;
  const auto count = static_cast<double>(cells);
  if (shows_other_chemistry(readings, cells)) {
    Sentence seen = reads;
    if (readings.draw)
      seen.say("seen_drawn", ", {volts} under a light draw", {volts_of("volts", readings.draw->end.volts)});
    faults.push_back(fault(FaultKind::not_lead, seen.add(no_lead_holds(cells))));
  }
  if (shows_shorted_cell(readings, cells)) {
    faults.push_back(
        fault(FaultKind::shorted_cell,
              shows(say("seen_cell_missing",
                        ", and {volts} under {amps}: about one cell's voltage is missing and the rest holds",
                        {volts_of("volts", readings.draw->end.volts),
                         said_amount("amps", readings.draw->end.amps.si(), 1, "A")}))));
  }
  if (readings.draw && ocv >= sound_cell_lowest * count && readings.draw->lowest < ocv * share_collapsed) {
    faults.push_back(fault(
        FaultKind::open_circuit,
        shows(say("seen_broken",
                  ", but {volts} under a light draw: a connection inside is broken, unless the clamp has "
                  "no contact",
                  {volts_of("volts", readings.draw->lowest)}))));
  }
  return faults;
}

std::optional<Fault> fault_at_rest(Volt open_circuit, int cells) {
  if (cells <= 0 || open_circuit <= lead_cell_rested_highest * static_cast<double>(cells)) return {};
  return fault(
      FaultKind::not_lead,
      say("seen_at_rest", "{volts} at rest", {volts_of("volts", open_circuit)}).add(no_lead_holds(cells)));
}

Result<Findings> state_intake(const FindingRequest& request) {
  if (request.of.empty() || request.of.size() > 2) {
    return fail(Errc::bad_input, "intake is made of a rest and at most one light draw", "of",
                "name them in this order");
  }
  auto rest = span_named(*request.trace, request.of[0]);
  if (!rest) return pass(rest);
  const auto samples = samples_of(*request.trace, *rest);
  auto ocv = last_volts(samples, fault_window);
  if (!ocv) return pass(ocv);
  IntakeReadings readings{ocv->mean, request.rested, std::nullopt};
  if (request.of.size() == 2) {
    auto draw = light_draw(*request.trace, request.of[1]);
    if (!draw) return pass(draw);
    readings.draw = *draw;
  }

  Findings findings;
  findings.faults = faults_of(readings, request.nameplate);
  const auto temperature = median_temperature(samples);
  Finding voltage;
  voltage.measurand = Measurand::ocv;
  voltage.value = ocv->mean.si();
  voltage.method = "mean at the end of a short rest";
  voltage.conditions = std::string(request.rested ? "rested" : "not rested, surface charge possible") + "; " +
                       (temperature ? fixed(temperature->degc(), 1) + " degC" : "temperature not measured");
  findings.findings.push_back(
      with_budget(std::move(voltage), {{"voltmeter", "by its profile", u_of(ocv->mean, request.accuracy).si(),
                                        fixed(ocv->mean.si(), 3) + " V", "1 V/V"},
                                       {"noise", "of the mean", ocv->u.si(), "", "1 V/V"}}));
  if (temperature) {
    Finding degrees;
    degrees.measurand = Measurand::temperature;
    degrees.value = temperature->degc();
    degrees.method = "median of the case temperature over the rest";
    findings.findings.push_back(
        with_budget(std::move(degrees),
                    {{"thermometer", fixed(request.accuracy.temperature_absolute.si(), 1) + " K rect.",
                      rectangular(request.accuracy.temperature_absolute).si(),
                      fixed(temperature->degc(), 1) + " degC", "1 K/K"}}));
  }
  return findings;
}

}  // namespace leadwright
