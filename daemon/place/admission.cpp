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

Refusal refused(Errc code, const Sentence& what, const Sentence& mend) {
  Sentence line = what;
  line.say("colon", ": ").add(mend);
  return {{code, what.text(), "", mend.text()}, std::nullopt, std::nullopt, std::move(line)};
}

Refusal ask(AskOf of, const Sentence& what, const Sentence& question) {
  Refusal asked = refused(Errc::conflict, what, question);
  asked.ask = Ask{of, question.text(), question.phrases()};
  return asked;
}

PhraseValue volts_said(std::string name, Volt volts) {
  return said_amount(std::move(name), volts.si(), 2, "V");
}

std::optional<Refusal> label_refusal(const Nameplate& nameplate) {
  if (!is_lead(nameplate.chemistry)) {
    return refused(
        Errc::refused,
        say("never_energised", "chemistry \"{chemistry}\" is never energised on this bench",
            {said_words("chemistry", word(nameplate.chemistry))}),
        say("find_out_chemistry",
            "find out the chemistry from the label; only lead batteries may be tested here, and no role can "
            "override this"));
  }
  if (nameplate.cells != 3 && nameplate.cells != 6) {
    return refused(Errc::refused, say("cells_not_known", "the number of cells is not known"),
                   say("count_and_correct", "count the cells and correct the nameplate"));
  }
  return std::nullopt;
}

std::optional<Refusal> polarity_refusal(const AdmissionFacts& facts, Volt volts) {
  if (volts < reversed_max) {
    Refusal refusal = refused(
        Errc::refused,
        say("is_reversed", "the battery is reversed: {volts} between + and -", {volts_said("volts", volts)}),
        say("check_post_marks",
            "check the clamps by the post marks; if they are right the battery was charged backwards: do not "
            "charge it"));
    refusal.fault = FaultKind::reversed;
    return refusal;
  }
  if (volts < polarity_min && !facts.polarity_confirmed) {
    return ask(
        AskOf::polarity,
        say("shows_no_polarity",
            "only {volts} at the clamps: nothing is clamped on, or the battery is too flat to show its "
            "polarity",
            {volts_said("volts", volts)}),
        say("clamp_by_marks",
            "clamp the battery on; if it is on, look at the marks of its posts, and confirm only if the red "
            "clamp is on the post marked +"));
  }
  if (volts < polarity_min && !facts.begins_with_charge) {
    return refused(Errc::conflict,
                   say("too_flat_to_draw", "at {volts} the battery is too flat to be drawn from",
                       {volts_said("volts", volts)}),
                   say("charge_first", "charge it first: it begins with a probe of 1 A"));
  }
  return std::nullopt;
}

std::optional<Refusal> cell_count_refusal(const AdmissionFacts& facts, Volt volts) {
  const int cells = facts.nameplate.cells;
  const bool too_low = cells == 6 && volts < twelve_volt_min;
  const bool too_high = cells == 3 && volts > six_volt_max;
  if ((too_low || too_high) && !facts.cells_confirmed) {
    return ask(AskOf::cells,
               say("cells_against_volts", "the label says {cells} cells but the battery reads {volts}",
                   {said_count("cells", cells), volts_said("volts", volts)}),
               say("count_and_enter", "count the cells (filler caps or the label) and enter the number"));
  }
  if (too_high || volts / cells > cell_rest_max) {
    return refused(Errc::refused,
                   say("too_much_for_cells", "{volts} is too much for {cells} lead cells at rest",
                       {volts_said("volts", volts), said_count("cells", cells)}),
                   say("isolate_it", "this may not be a lead battery: isolate it and find out what it is"));
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

Sentence why_refused(const Refusal& refusal) {
  return refusal.said.empty() ? in_own_words(refusal.error.line()) : refusal.said;
}

std::optional<Refusal> refusal(const AdmissionFacts& facts) {
  if (auto by_label = label_refusal(facts.nameplate)) return by_label;
  if (!facts.volts) {
    return refused(Errc::conflict,
                   say("no_voltage", "the instrument gave no voltage (overload or not a number)"),
                   say("check_sense_and_range", "check the sense leads and the range"));
  }
  const Volt volts = *facts.volts;
  if (auto by_polarity = polarity_refusal(facts, volts)) return by_polarity;
  if (facts.second_volts && abs(*facts.second_volts - volts) > senses_apart_max) {
    return refused(Errc::conflict,
                   say("meters_disagree", "two meters disagree: {volts} and {other}",
                       {volts_said("volts", volts), volts_said("other", *facts.second_volts)}),
                   say("reseat_sense", "clean and reseat the clamps: one sense lead has no good contact"));
  }
  if (auto by_cells = cell_count_refusal(facts, volts)) return by_cells;
  if (facts.expected && !is_near(volts, *facts.expected) && !is_as_confirmed(facts, volts)) {
    Refusal asked = ask(
        AskOf::same_battery,
        say("reads_otherwise", "the battery reads {volts} where this ticket's battery last showed {shown}",
            {volts_said("volts", volts), volts_said("shown", facts.expected->volts)}),
        say("is_it_the_same",
            "is this the same battery? compare its label with the ticket and answer yes or no"));
    asked.ask->read = volts;
    return asked;
  }
  if (facts.heaviest_draw > light_draw_max && !facts.shield_confirmed) {
    return ask(
        AskOf::shield,
        say("to_be_drawn", "{amps} are to be drawn", {said_amount("amps", facts.heaviest_draw.si(), 0, "A")}),
        say("close_the_shield",
            "close the shield over the battery and its clamps, stand back, then confirm: the shield "
            "is closed"));
  }
  return std::nullopt;
}

}  // namespace leadwright
