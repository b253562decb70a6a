// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/reception.h"

#include <algorithm>
#include <cmath>

#include "daemon/battery/fitting.h"
#include "protocol/ascii.h"

namespace leadwright {
namespace {

constexpr std::int64_t half_hour_ns = 1'800'000'000'000;
/// Nominal volts for which the limit by ampere-hours is stated.
constexpr double limit_volts = 12.0;

struct Least {
  double kg = 0.0;
  Sentence of;  ///< "the size L3"
};

/// The size's own limit before the one by ampere-hours; missing where the label states neither.
std::optional<Least> least_weight(const Nameplate& plate, const WeightLimits& limits) {
  const std::string size = upper_ascii(std::string_view(plate.size_code));
  const auto found = std::ranges::find_if(limits.least_by_size, [&size](const auto& each) {
    return !size.empty() && upper_ascii(std::string_view(each.first)) == size;
  });
  if (found != limits.least_by_size.end()) {
    return Least{found->second, say("the_size", "the size {size}", {said_words("size", plate.size_code)})};
  }
  if (!plate.c20) return std::nullopt;
  const double ah = as_ampere_hours(plate.c20->value);
  const double volts = plate.nominal().si();
  return Least{limits.least_kg_per_ah * ah * volts / limit_volts,
               say("ah_at_volts", "{ah} at {volts}",
                   {said_amount("ah", ah, 0, "Ah"), said_amount("volts", volts, 0, "V")})};
}

Sentence too_light(const Nameplate& plate, const Inspection& seen, const WeightLimits& limits) {
  const auto least = least_weight(plate, limits);
  if (!seen.weight_kg || !least || *seen.weight_kg >= least->kg) return {};
  Sentence why =
      say("too_light", "{weight} is too light for ", {said_amount("weight", *seen.weight_kg, 1, "kg")});
  return why.add(least->of).say(
      "may_not_be_lead",
      ": a lead battery weighs {least} and more, so it may not be lead; nothing is charged or drawn before a "
      "person has found out what it is",
      {said_amount("least", least->kg, 1, "kg")});
}

}  // namespace

bool looks_unsafe(const Inspection& seen) {
  return seen.cracked || seen.leaking || seen.swollen || seen.frozen;
}

Reception reception_of(const Nameplate& nameplate, const Inspection& seen, const WeightLimits& limits) {
  if (!is_lead(nameplate.chemistry)) {
    return {TicketState::refused, say("never_energised_here",
                                      "chemistry \"{chemistry}\" is never energised on this bench; find out "
                                      "what it is, or hand it back",
                                      {said_words("chemistry", word(nameplate.chemistry))})};
  }
  if (looks_unsafe(seen)) {
    return {TicketState::refused,
            say("looks_unsafe",
                "the inspection found it cracked, leaking, swollen or frozen: never charge or test it; store "
                "it in an acid-proof tray and follow local rules for damaged batteries")};
  }
  if (Sentence why = too_light(nameplate, seen, limits); !why.empty())
    return {TicketState::held, std::move(why)};
  return {TicketState::received, say("dropped_off", "dropped off")};
}

std::vector<std::string> advice_on(const Inspection& seen) {
  std::vector<std::string> advice;
  if (seen.electrolyte_low) {
    advice.emplace_back(
        "plates stand above the acid: cover them with distilled water before any charge, with eye and hand "
        "protection, and only where the maker lets it be opened");
  }
  if (seen.vents_blocked)
    advice.emplace_back("vents are blocked: clear them before any charge, or gas can't leave");
  if (seen.terminals_corroded) {
    advice.emplace_back(
        "terminals are corroded: clean them before it is clamped on, with eye and hand protection");
  }
  if (seen.label_unreadable) {
    advice.emplace_back("its label can't be read: make sure of its chemistry before anything is clamped on");
  }
  return advice;
}

std::string layout_warning(const Nameplate& nameplate, const Inspection& seen) {
  std::string what;
  for (const FitRow& row : layout_rows(nameplate, seen)) {
    if (row.outcome != FitOutcome::differs) continue;
    const char* const name = row.of == FitOf::size_code ? "size code"
                             : row.of == FitOf::plus_at ? "side of the plus post"
                                                        : "kind of posts";
    what.append(what.empty() ? "" : ", ").append(name);
  }
  if (what.empty()) return {};
  return "it is not the battery that its vehicle asks for (" + what +
         "): look at hold-down, vent and cables before the battery is blamed";
}

std::optional<Second> expected_stay(const std::vector<Ahead>& outlook, const HouseLoad& load) {
  Second at_bays{0.0};
  Second charging{0.0};
  for (const Ahead& each : outlook) {
    if (each.expected <= Second(0.0)) return std::nullopt;
    (each.work.place_kind == PlaceKind::bay ? at_bays : charging) += each.expected;
  }
  const Second own = at_bays + charging;
  if (own <= Second(0.0)) return std::nullopt;
  if (load.charging_places == 0) {
    at_bays += charging;
    charging = Second(0.0);
  }
  const auto waits_for = [&load](Second each, std::size_t places) {
    return each * (static_cast<double>(load.waiting) / static_cast<double>(std::max<std::size_t>(places, 1)));
  };
  return own + std::max(waits_for(at_bays, load.bays), waits_for(charging, load.charging_places));
}

Utc promise_after(Utc now, Second stay) {
  const auto ns = now.ns() + static_cast<std::int64_t>(std::llround(stay.si() * 1e9));
  return Utc((ns + half_hour_ns - 1) / half_hour_ns * half_hour_ns);
}

}  // namespace leadwright
