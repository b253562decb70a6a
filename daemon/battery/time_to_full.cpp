// SPDX-License-Identifier: Apache-2.0
// Marks: F found in public text, P common practice without a source, M from memory (shared domain notes,
// section 7).
#include "daemon/battery/time_to_full.h"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

/// F: full when the current at constant voltage is stable. P/M, its numbers: it falls by less than a tenth in
/// an hour, or stays below a hundredth of the 20-hour capacity.
constexpr double falls_most_in_an_hour = 0.10;
constexpr double small_share = 0.01;
/// What twice as loose a number would say shows how much hangs on the number.
constexpr double looser = 2.0;
constexpr Volt near_the_limit{0.08};

constexpr Second slot = minutes(5.0);
constexpr std::size_t slots_in_an_hour = 12;

/// Mean of a slot, the last one perhaps shorter.
struct Slot {
  double amps = 0.0;
  bool at_limit = false;
};

std::vector<Slot> slots_of(std::span<const Sample> samples, Second started_at, Volt limit) {
  std::vector<Slot> slots;
  std::vector<int> counts;
  for (const Sample& sample : samples) {
    if (!sample.amps || !sample.volts || sample.at < started_at) continue;
    const auto index = static_cast<std::size_t>((sample.at - started_at) / slot);
    // A charge that is one step for a day has 288.
    if (index >= slots.size()) slots.resize(index + 1);
    counts.resize(slots.size());
    slots[index].amps -= sample.amps->si();
    slots[index].at_limit = *sample.volts > limit - near_the_limit;
    ++counts[index];
  }
  for (std::size_t i = 0; i < slots.size(); ++i) {
    if (counts[i] > 0) slots[i].amps /= counts[i];
  }
  return slots;
}

bool is_stable(const std::vector<Slot>& slots, std::size_t i, double falls_most) {
  if (i < slots_in_an_hour || !slots[i].at_limit) return false;
  const double before = slots[i - slots_in_an_hour].amps;
  return before > 0.0 && std::abs(before - slots[i].amps) < falls_most * before;
}

bool is_small(const std::vector<Slot>& slots, std::size_t i, const Nameplate& nameplate, double share) {
  if (!nameplate.c20 || !slots[i].at_limit) return false;
  return slots[i].amps < share * as_ampere_hours(nameplate.c20->value);
}

/// End of the first slot from which on a rule held to the end; missing if it did not hold at the end.
std::optional<Second> held_from(const std::vector<Slot>& slots, const Nameplate& nameplate, double times) {
  std::size_t first = slots.size();
  while (first > 0 && (is_stable(slots, first - 1, times * falls_most_in_an_hour) ||
                       is_small(slots, first - 1, nameplate, times * small_share)))
    --first;
  if (first == slots.size()) return std::nullopt;
  return slot * static_cast<double>(first + 1);
}

}  // namespace

std::optional<Finding> time_to_full(const Trace::StepSpan& charge, std::span<const Sample> samples,
                                    const Nameplate& nameplate) {
  const bool is_full = charge.end == stable_current_end || charge.end == small_current_end;
  if (!is_full || charge.continues || samples.empty() || !samples.back().volts) return std::nullopt;
  const Volt limit = *samples.back().volts;
  const auto slots = slots_of(samples, charge.started_at, limit);
  const auto full = held_from(slots, nameplate, 1.0);
  if (!full) return std::nullopt;
  const Second lasted = charge.ended_at - charge.started_at;
  const Second at = std::min(*full, lasted);
  const Second earlier = std::min(held_from(slots, nameplate, looser).value_or(at), at);
  Finding finding;
  finding.measurand = Measurand::time_to_full;
  finding.value = as_minutes(at);
  finding.method =
      "from the start of the charge until its current fell by less than 10 % in an hour, or stayed below "
      "0.01 of "
      "the 20-hour capacity, to its end";
  finding.conditions =
      "at " + fixed(limit.si(), 2) + " V; over " + fixed(as_hours(lasted), 2) + " h; ended by: " + charge.end;
  const double by_rule = as_minutes(at - earlier);
  // The fall is seen over the hour before.
  const bool by_hour = charge.end == stable_current_end;
  std::vector<BudgetLine> budget{
      {"number of the rule", fixed(by_rule, 1) + " min rect., what twice the number would say",
       rectangular(by_rule), "10 % in an hour, 0.01 of the capacity", "1"},
      {"slots of the trace", "2.5 min rect.", rectangular(as_minutes(slot) / 2.0), "5 min", "1"}};
  if (by_hour) {
    budget.push_back({"hour that the fall is seen over", "30 min rect.", rectangular(30.0), "60 min", "1"});
  }
  return with_budget(std::move(finding), std::move(budget));
}

}  // namespace leadwright
