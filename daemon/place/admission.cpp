// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/admission.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "daemon/place/gas_off.h"

namespace leadwright {

namespace {

/// A meter offset can't look like a reversed battery (common practice, no source).
constexpr Volt reversed_max{-0.5};
/// A 12 V label that reads less asks a person to count the cells, and so does a 6 V label that reads more.
constexpr Volt twelve_volt_min{8.0};
constexpr Volt six_volt_max{7.5};
/// A rested lead cell stays below this even with strong acid and a fresh charge (common practice, no source).
constexpr Volt cell_rest_max{2.35};
/// Two meters on one battery agree within this or a clamp is bad (common practice, no source).
constexpr Volt senses_apart_max{0.15};

/// In the order of AskOf.
constexpr std::array words_of_asks{"cautions", "same_battery", "cells",    "polarity", "clamps",
                                   "shield",   "trip",         "presence", "question"};
static_assert(words_of_asks.size() == static_cast<std::size_t>(AskOf::question) + 1);

Refusal refused(Errc code, std::string what, std::string mend) {
  return {{code, std::move(what), "", std::move(mend)}, std::nullopt, std::nullopt};
}

Refusal ask(AskOf of, std::string what, std::string question) {
  return {{Errc::conflict, std::move(what), "", question}, Ask{of, question}, std::nullopt};
}

std::optional<Refusal> label_refusal(const Nameplate& nameplate) {
  if (!is_lead(nameplate.chemistry)) {
    return refused(
        Errc::refused,
        fmt::format("chemistry \"{}\" is never energised on this bench", word(nameplate.chemistry)),
        "find out the chemistry from the label; only lead batteries may be tested here, and no role can "
        "override this");
  }
  if (nameplate.cells != 3 && nameplate.cells != 6) {
    return refused(Errc::refused, "the number of cells is not known",
                   "count the cells and correct the nameplate");
  }
  return std::nullopt;
}

std::optional<Refusal> polarity_refusal(const AdmissionFacts& facts, Volt volts) {
  if (volts < reversed_max) {
    Refusal refusal =
        refused(Errc::refused, fmt::format("the battery is reversed: {:.2f} V between + and -", volts.si()),
                "check the clamps by the post marks; if they are right the battery was charged "
                "backwards: do not charge it");
    refusal.fault = FaultKind::reversed;
    return refusal;
  }
  if (volts < polarity_min && !facts.polarity_confirmed) {
    return ask(
        AskOf::polarity,
        fmt::format("only {:.2f} V at the clamps: nothing is clamped on, or the "
                    "battery is too flat to show its polarity",
                    volts.si()),
        "clamp the battery on; if it is on, look at the marks of its posts, and confirm only if the red "
        "clamp is on the post marked +");
  }
  if (volts < polarity_min && !facts.begins_with_charge) {
    return refused(Errc::conflict,
                   fmt::format("at {:.2f} V the battery is too flat to be drawn from", volts.si()),
                   "charge it first: it begins with a probe of 1 A");
  }
  return std::nullopt;
}

std::optional<Refusal> cell_count_refusal(const AdmissionFacts& facts, Volt volts) {
  const int cells = facts.nameplate.cells;
  const bool too_low = cells == 6 && volts < twelve_volt_min;
  const bool too_high = cells == 3 && volts > six_volt_max;
  if ((too_low || too_high) && !facts.cells_confirmed) {
    return ask(AskOf::cells,
               fmt::format("the label says {} cells but the battery reads {:.2f} V", cells, volts.si()),
               "count the cells (filler caps or the label) and enter the number");
  }
  if (too_high || volts / cells > cell_rest_max) {
    return refused(Errc::refused,
                   fmt::format("{:.2f} V is too much for {} lead cells at rest", volts.si(), cells),
                   "this may not be a lead battery: isolate it and find out what it is");
  }
  return std::nullopt;
}

bool is_near(Volt volts, const ExpectedVolts& expected) {
  const Volt off = volts - expected.volts;
  return off >= -expected.below_max && off <= expected.above_max;
}

/// The answer was about what was clamped on then. A battery at rest drifts by so much while a person comes
/// back (common practice, no source).
bool is_as_confirmed(const AdmissionFacts& facts, Volt volts) {
  return facts.same_battery_at && is_near(volts, {*facts.same_battery_at, Volt(0.3), Volt(0.4)});
}

}  // namespace

const char* word(AskOf of) {
  return words_of_asks[static_cast<std::size_t>(of)];
}

std::optional<AskOf> ask_of(std::string_view text) {
  const auto found = std::ranges::find(words_of_asks, text);
  if (found == words_of_asks.end()) return std::nullopt;
  return static_cast<AskOf>(found - words_of_asks.begin());
}

std::string ask_words() {
  return fmt::format("{}", fmt::join(words_of_asks, ", "));
}

std::optional<Refusal> refusal(const AdmissionFacts& facts) {
  if (auto by_label = label_refusal(facts.nameplate)) return by_label;
  if (!facts.volts) {
    return refused(Errc::conflict, "the instrument gave no voltage (overload or not a number)",
                   "check the sense leads and the range");
  }
  const Volt volts = *facts.volts;
  if (auto by_polarity = polarity_refusal(facts, volts)) return by_polarity;
  if (facts.second_volts && abs(*facts.second_volts - volts) > senses_apart_max) {
    return refused(
        Errc::conflict,
        fmt::format("two meters disagree: {:.2f} V and {:.2f} V", volts.si(), facts.second_volts->si()),
        "clean and reseat the clamps: one sense lead has no good contact");
  }
  if (auto by_cells = cell_count_refusal(facts, volts)) return by_cells;
  if (facts.expected && !is_near(volts, *facts.expected) && !is_as_confirmed(facts, volts)) {
    Refusal asked =
        ask(AskOf::same_battery,
            fmt::format("the battery reads {:.2f} V where this ticket's battery last showed {:.2f} V",
                        volts.si(), facts.expected->volts.si()),
            "is this the same battery? compare its label with the ticket and answer yes or no");
    asked.ask->read = volts;
    return asked;
  }
  if (facts.heaviest_draw > light_draw_max && !facts.shield_confirmed) {
    return ask(AskOf::shield, fmt::format("{:.0f} A are to be drawn", facts.heaviest_draw.si()),
               "close the shield over the battery and its clamps, stand back, then confirm: the shield is "
               "closed");
  }
  return std::nullopt;
}

}  // namespace leadwright
