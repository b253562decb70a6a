// SPDX-License-Identifier: Apache-2.0
// What comes over the counter, as JSON: a battery's label, its story and what the eye saw. Strict: whatever
// is not understood is a mistake, and every mistake is named. Pure; any thread.
//
// {"battery":{"serial","chemistry","cells","cca_a","cca_standard","reserve_capacity_min",
//   "reserve_capacity_standard","c20_ah","c20_standard","size_code","manufactured_on" or "date_code"},
//  "story":{"complaint","sold_on","monitor_report","receipt",
//    "monitor":{"soc_1","age_days","battery_degc","reset_on"}},
//  "inspection":{"cracked","leaking","swollen","frozen","terminals_damaged","terminals_corroded",
//   "vents_blocked","electrolyte_low","label_unreadable","weight_kg","remarks","plus_at","post",
//   "vehicle_size_code","vehicle_plus_at","vehicle_post",
//   "acid":{"gravity":[1.265,null],"acid_degc"}},
//  "procedures":["reserve capacity"], "promised_at":"2026-01-31T17:00:00Z"}
// Needed: battery with serial, chemistry, cells, and the standard of a stated CCA or reserve capacity
// ("unknown" is one). null counts as absent. Texts are at most 2000 bytes, the serial 64, without control
// characters.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/battery/ticket.h"

namespace leadwright {

struct DropOff {
  std::string serial;
  Nameplate nameplate;
  std::string date_code;  ///< as stamped, where no date was typed
  Story story;
  Inspection inspection;
  std::vector<std::string> procedures;  ///< only these are wanted, if not empty
  std::optional<Utc> promised_at;       ///< missing: as the queue lets expect
};

/// Each error: bad_input, `where` the key ("battery.cells"). Procedures are compared with `known_procedures`
/// unless that is empty.
tl::expected<DropOff, std::vector<Error>> read_drop_off(
    std::string_view json, const std::vector<std::string>& known_procedures = {});

/// As read_drop_off, with all mistakes in one error: `what` has them as "key: what: mend", joined by "; ".
Result<DropOff> parse_drop_off(std::string_view json, const std::vector<std::string>& known_procedures = {});

/// An inspection alone, after `before`: what is left out stays. bad_input with all mistakes.
Result<Inspection> parse_inspection(std::string_view json, Inspection before);

/// Makes the date of manufacture of the date code, if there is one: not later than the sale, or else `today`.
/// bad_input if it can mean no month or several, which it names.
Result<void> read_date_code(DropOff& drop, Utc today);

}  // namespace leadwright
