// SPDX-License-Identifier: Apache-2.0
// Marks: F found in public text, C calculated, M from memory, P common practice without a source.
#include "daemon/battery/acid.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <utility>

#include "daemon/battery/shelf.h"
#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

struct Strength {
  double gravity;
  double share;  ///< of the acid in the solution, by mass
};
/// M: densities of sulphuric acid at 20 degC (shared domain notes, section 5).
constexpr std::array<Strength, 6> strengths{
    {{1.066, 0.10}, {1.1394, 0.20}, {1.2185, 0.30}, {1.260, 0.35}, {1.2855, 0.38}, {1.303, 0.40}}};
constexpr double kilogram_per_mole = 0.098079;
constexpr double molality_least = 0.5;
constexpr double molality_most = 6.8;

struct ChargeRung {
  double gravity;
  double share;
};
/// F: TM 5-1185, for acid of 1.280 when full: 1.280 1.250 1.220 1.190 1.160 are 100 75 50 25 and about 0 %.
constexpr std::array<ChargeRung, 5> strong_ladder{
    {{1.160, 0.0}, {1.190, 0.25}, {1.220, 0.50}, {1.250, 0.75}, {1.280, 1.00}}};
/// F: TM 5-4210-230-14&P-1, table 2, as gravity_at() has it.
constexpr std::array<ChargeRung, 5> usual_ladder{
    {{1.120, 0.0}, {1.155, 0.25}, {1.190, 0.50}, {1.225, 0.75}, {1.265, 1.00}}};
constexpr double gravity_per_kelvin = 0.004 * 1.8 / 10.0;

template <std::size_t N>
std::pair<double, double> on_charge_ladder(const std::array<ChargeRung, N>& ladder, double gravity) {
  std::size_t upper = 1;
  while (upper + 1 < N && gravity > ladder[upper].gravity) ++upper;
  const ChargeRung& low = ladder[upper - 1];
  const ChargeRung& high = ladder[upper];
  const double slope = (high.share - low.share) / (high.gravity - low.gravity);
  return {std::clamp(low.share + (gravity - low.gravity) * slope, 0.0, 1.0), slope};
}

/// What was read, at 80 degF.
std::vector<double> referred(const AcidReading& reading) {
  std::vector<double> all;
  for (const auto& each : reading.gravity) {
    if (each) all.push_back(at_80_fahrenheit(*each, reading.acid).value);
  }
  return all;
}

double mean_gravity(const std::vector<double>& values) {
  return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

double median_gravity(std::vector<double> values) {
  std::ranges::sort(values);
  const std::size_t half = values.size() / 2;
  return values.size() % 2 == 1 ? values[half] : (values[half - 1] + values[half]) / 2.0;
}

/// A sensitivity; of gravity to gravity a bare number.
std::string per(double scale, std::string_view unit) {
  std::string text = sensitivity_text(scale, unit);
  if (unit.empty()) text.pop_back();
  return text;
}

std::string read_words(const AcidReading& reading) {
  std::string text = "read";
  for (const auto& each : reading.gravity) text.append(" ").append(each ? fixed(each->value, 3) : "-");
  return text.append(" at ").append(fixed(reading.acid.degc(), 1)).append(" degC, from the positive post");
}

/// What is the same for all cells, in gravity; times `scale`, as `unit`.
std::vector<BudgetLine> common_lines(const AcidReading& reading, const AcidSettings& settings, double scale,
                                     std::string_view unit) {
  const double tens_off = (reading.acid.fahrenheit() - 80.0) / 10.0;
  const std::string each = per(scale, unit);
  const auto line = [&](std::string quantity, std::string limit, double u, std::string value,
                        std::string sensitivity) {
    return BudgetLine{std::move(quantity), std::move(limit), scale * u, std::move(value),
                      std::move(sensitivity)};
  };
  const double kelvin = settings.thermometer_limit.si();
  return {
      line("hydrometer", fixed(settings.hydrometer_limit.value, 4) + " rect., from memory",
           rectangular(settings.hydrometer_limit.value), "", each),
      line("temperature of the acid", fixed(kelvin, 1) + " K rect.", gravity_per_kelvin * rectangular(kelvin),
           fixed(reading.acid.degc(), 1) + " degC", per(scale * gravity_per_kelvin, unit) + "/K"),
      line("correction for it", fixed(settings.per_10_degf_limit.value, 4) + " per 10 degF rect.",
           std::abs(tens_off) * rectangular(settings.per_10_degf_limit.value), "0.004 per 10 degF",
           per(scale * tens_off, unit))};
}

BudgetLine eye_line(const AcidSettings& settings, double factor, std::string_view unit) {
  return {"reading by eye", fixed(settings.reading_limit.value, 4) + " rect., each cell",
          factor * rectangular(settings.reading_limit.value), "", per(factor, unit)};
}

Finding acid_finding(Measurand measurand, double value, std::string method, const AcidReading& reading) {
  Finding finding;
  finding.measurand = measurand;
  finding.value = value;
  finding.method = std::move(method);
  finding.conditions = read_words(reading);
  finding.at = reading.at;
  return finding;
}

Finding mean_finding(const std::vector<double>& read, const AcidReading& reading,
                     const AcidSettings& settings) {
  auto budget = common_lines(reading, settings, 1.0, "");
  budget.push_back(eye_line(settings, 1.0 / std::sqrt(static_cast<double>(read.size())), ""));
  return with_budget(acid_finding(Measurand::acid_gravity, mean_gravity(read),
                                  "hydrometer, mean of " + std::to_string(read.size()) +
                                      " cells, referred to 80 degF by 0.004 per 10 degF",
                                  reading),
                     std::move(budget));
}

Finding spread_finding(const std::vector<double>& read, const AcidReading& reading,
                       const AcidSettings& settings) {
  const auto [lowest, highest] = std::ranges::minmax(read);
  return with_budget(acid_finding(Measurand::acid_spread, highest - lowest,
                                  "hydrometer, the highest cell less the lowest", reading),
                     {eye_line(settings, std::sqrt(2.0), "")});
}

Finding below_finding(std::vector<double> read, const AcidReading& reading, const AcidSettings& settings) {
  const auto lowest = std::ranges::min_element(read);
  const double least = *lowest;
  read.erase(lowest);
  // Of a median of n normal readings the variance is pi / (2 n) of one.
  const double factor = std::sqrt(1.0 + 1.571 / static_cast<double>(read.size()));
  return with_budget(acid_finding(Measurand::acid_cell_below, median_gravity(read) - least,
                                  "hydrometer, median of the others less the lowest, cell " +
                                      std::to_string(lowest_cell(reading).value_or(0)),
                                  reading),
                     {eye_line(settings, factor, "")});
}

Finding charge_finding(const Finding& gravity, const AcidReading& reading) {
  const auto [share, slope] = on_charge_ladder(usual_ladder, gravity.value);
  const double other = on_charge_ladder(strong_ladder, gravity.value).first;
  return with_budget(
      acid_finding(Measurand::soc_by_acid, share, "specific gravity, table for acid of 1.265 when full",
                   reading),
      {{"specific gravity", fixed(gravity.u, 4), slope * gravity.u, fixed(gravity.value, 4), per(slope, "")},
       {"strength of its acid when full", "acid of 1.280 by its own table, rect.",
        rectangular(std::abs(share - other)), fixed(100.0 * other, 0) + " %", "1"}});
}

}  // namespace

Result<void> fits_label(const AcidReading& reading, const Nameplate& nameplate) {
  if (std::cmp_greater(reading.gravity.size(), nameplate.cells)) {
    return fail(Errc::refused,
                std::to_string(reading.gravity.size()) + " cells were read of a battery of " +
                    std::to_string(nameplate.cells),
                "acid", "one reading a cell, in their order from the positive post");
  }
  if (nameplate.chemistry == Chemistry::flooded || nameplate.chemistry == Chemistry::efb) return {};
  return fail(Errc::refused,
              std::string("the acid of a battery of chemistry \"") + word(nameplate.chemistry) +
                  "\" can't be read: its cells are never opened",
              "acid",
              "leave the hydrometer's readings out; only a flooded or EFB battery with caps has them, with "
              "eye and hand protection");
}

Molality molality_of(SpecificGravity gravity) {
  std::size_t upper = 1;
  while (upper + 1 < strengths.size() && gravity.value > strengths[upper].gravity) ++upper;
  const Strength& low = strengths[upper - 1];
  const Strength& high = strengths[upper];
  const double share =
      low.share + (gravity.value - low.gravity) * (high.share - low.share) / (high.gravity - low.gravity);
  const double held = std::clamp(share, 0.01, 0.9);
  return {std::clamp(held / (1.0 - held) / kilogram_per_mole, molality_least, molality_most)};
}

Volt bode_cell_volts(SpecificGravity gravity) {
  return cell_volts(molality_of(gravity));
}

std::vector<Finding> findings_of(const AcidReading& reading, const AcidSettings& settings) {
  const std::vector<double> read = referred(reading);
  if (read.empty()) return {};
  std::vector<Finding> findings{mean_finding(read, reading, settings)};
  if (read.size() >= 2) findings.push_back(spread_finding(read, reading, settings));
  if (read.size() >= 3) findings.push_back(below_finding(read, reading, settings));
  findings.push_back(charge_finding(findings.front(), reading));
  return findings;
}

std::optional<Finding> ocv_above_acid(const AcidReading& reading, const Finding& ocv, int cells,
                                      const AcidSettings& settings) {
  const std::vector<double> read = referred(reading);
  if (std::cmp_not_equal(read.size(), cells) || read.empty()) return std::nullopt;
  Volt by_bode{0.0};
  Volt by_rule{0.0};
  double volts_per_gravity = 0.0;
  constexpr double step = 0.01;
  for (const double each : read) {
    by_bode = by_bode + bode_cell_volts({each});
    by_rule = by_rule + cell_volts(SpecificGravity{each});
    volts_per_gravity +=
        (bode_cell_volts({each + step}) - bode_cell_volts({each - step})).si() / (2.0 * step);
  }
  const Volt referred_ocv = ocv_at_25_degc(Volt(ocv.value), cells, reading.acid);
  Finding finding =
      acid_finding(Measurand::ocv_above_acid, (referred_ocv - by_bode).si(),
                   "rested voltage at 25 degC less Bode's potentials of the acid as read", reading);
  finding.ticket = ocv.ticket;
  finding.run = ocv.run;
  finding.at = ocv.at;
  finding.conditions.append("; acid by Bode ").append(fixed(by_bode.si(), 3));
  finding.conditions.append(" V, by the rule SG + 0.845 ").append(fixed(by_rule.si(), 3)).append(" V");
  auto budget = common_lines(reading, settings, volts_per_gravity, "V");
  budget.push_back(eye_line(settings, volts_per_gravity / std::sqrt(static_cast<double>(cells)), "V"));
  budget.push_back({"voltage", "as stated", ocv.u, fixed(ocv.value, 3) + " V", "1 V/V"});
  const double u_relation = rectangular(settings.cell_volts_limit).si() * cells;
  budget.push_back({"volts of the acid",
                    fixed(1000.0 * settings.cell_volts_limit.si(), 1) + " mV a cell rect.", u_relation,
                    fixed(by_bode.si(), 3) + " V", std::to_string(cells)});
  const double per_k = (Volt(0.0) - ocv_at_25_degc(Volt(0.0), cells, Celsius(26.0))).si();
  budget.push_back({"temperature of the plates", fixed(settings.u_battery.si(), 1) + " K",
                    per_k * settings.u_battery.si(), fixed(reading.acid.degc(), 1) + " degC",
                    per(per_k, "V/K")});
  return with_budget(std::move(finding), std::move(budget));
}

std::optional<int> lowest_cell(const AcidReading& reading) {
  std::optional<int> lowest;
  for (std::size_t i = 0; i < reading.gravity.size(); ++i) {
    const auto& each = reading.gravity[i];
    if (!each) continue;
    if (!lowest || each->value < reading.gravity[static_cast<std::size_t>(*lowest - 1)]->value)
      lowest = static_cast<int>(i) + 1;
  }
  return lowest;
}

}  // namespace leadwright
