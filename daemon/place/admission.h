// SPDX-License-Identifier: Apache-2.0
// May this battery be energised here? The last look before a run: label, polarity, cell count, clamps and
// "is this the same battery?". Pure; any thread.
#pragma once

#include <optional>
#include <string>

#include "daemon/battery/said.h"
#include "daemon/battery/ticket.h"

namespace leadwright {

/// Below this a reading says nothing about polarity: no battery, or one too flat (design.md, section 6).
constexpr Volt polarity_min{2.0};

/// A question that a person must answer before the place goes on.
enum class AskOf { cautions, same_battery, cells, polarity, clamps, shield, trip, presence, question };
const char* word(AskOf of);
std::optional<AskOf> ask_of(std::string_view word);
/// All of these words, with commas between.
std::string ask_words();

struct Ask {
  AskOf of = AskOf::cautions;
  std::string text;
  Phrases said = {};              ///< `text`; none where a procedure's file has the words
  bool takes_photo = false;       ///< question: a photo may come with the answer
  std::optional<Volt> read = {};  ///< same_battery: what stood on the posts
};

/// Resting volts that this battery should show, and how far off it may be before we ask.
struct ExpectedVolts {
  Volt volts{0.0};
  Volt below_max{0.12};  ///< it may read this much less
  Volt above_max{0.12};  ///< it may read this much more
};

struct AdmissionFacts {
  Nameplate nameplate;
  std::optional<Volt> volts;         ///< as the place's own meter reads it
  std::optional<Volt> second_volts;  ///< as a second meter on other sense leads reads it
  std::optional<ExpectedVolts> expected;
  /// A person said that this is the ticket's battery while it read so.
  std::optional<Volt> same_battery_at;
  bool cells_confirmed = false;
  bool polarity_confirmed = false;  ///< by the marks on the posts
  bool begins_with_charge = false;  ///< the first energy of the run
  Ampere heaviest_draw{0.0};        ///< of the whole run
  bool shield_confirmed = false;
};

/// Why not: an error in plain words, perhaps a question that would clear it, perhaps a proven fault.
struct Refusal {
  Error error;
  std::optional<Ask> ask;
  std::optional<FaultKind> fault;
  Sentence said = {};  ///< the error's line; empty of what has no phrases
};
/// In the run's own words where it has them.
Sentence why_refused(const Refusal& refusal);

std::optional<Refusal> refusal(const AdmissionFacts& facts);

}  // namespace leadwright
