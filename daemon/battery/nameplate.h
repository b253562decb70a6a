// SPDX-License-Identifier: Apache-2.0
// What a battery's label says. Ratings keep the standard they are stated in; nothing is converted for a
// verdict.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/quantities/quantity.h"
#include "protocol/result.h"

namespace leadwright {

/// lead: certainly lead (marked so, or by the lead-or-not check and its weight), of which kind nobody knows.
enum class Chemistry { flooded, efb, agm, gel, lead, lithium, other, unknown };
enum class RatingStandard { sae, en, iec, jis, gb, unknown };

const char* word(Chemistry chemistry);
const char* word(RatingStandard standard);
std::optional<Chemistry> chemistry_of(std::string_view word);
std::optional<RatingStandard> rating_standard_of(std::string_view word);

/// Lead chemistries may be energised; lithium, other and unknown never.
constexpr bool is_lead(Chemistry chemistry) {
  return chemistry == Chemistry::flooded || chemistry == Chemistry::efb || chemistry == Chemistry::agm ||
         chemistry == Chemistry::gel || chemistry == Chemistry::lead;
}

/// Whose limits and whose row of a procedure's table hold: of a kind that nobody knows those of gel, which
/// are the lowest of the four.
constexpr Chemistry treated_as(Chemistry chemistry) {
  return chemistry == Chemistry::lead ? Chemistry::gel : chemistry;
}

template <class T>
struct Rating {
  T value;
  RatingStandard standard = RatingStandard::unknown;
};

struct Nameplate {
  Chemistry chemistry = Chemistry::unknown;
  int cells = 0;
  std::optional<Rating<Ampere>> cca;
  std::optional<Rating<Second>> reserve_capacity;
  std::optional<Rating<Coulomb>> c20;
  std::string size_code;
  std::string manufactured_on;  ///< "2024-03" or "2024-03-15"; empty if unknown

  /// Nominal volts: 2 V a cell.
  Volt nominal() const { return Volt(2.0 * cells); }
};

/// Every reason why this label can't be right: cells other than 3 or 6, ratings outside what starter
/// batteries have (CCA 50-2000 A, RC 10-600 min, C20 5-300 Ah), a date that is none. Empty if plausible.
std::vector<Error> implausible(const Nameplate& nameplate);

/// Reference temperature of a rating's standard: SAE 26.7 degC, all others 25 degC (F: makers' texts after
/// SAE; JIS and GB; M: EN and IEC).
Celsius reference_temperature(RatingStandard standard);

}  // namespace leadwright
