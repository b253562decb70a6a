// SPDX-License-Identifier: Apache-2.0
// The bench's values as JSON text, for the API and for list columns of the store. Keys are snake_case with
// the unit as suffix; missing is null; instants are RFC 3339; identifiers are as shown to people. Numbers are
// the shortest decimal text that reads back as the same value, whatever the locale. Pure; any thread. Read
// next: drop_off.h (the other direction).
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/battery/grade_override.h"
#include "daemon/battery/people.h"
#include "daemon/battery/photo.h"
#include "daemon/battery/sample.h"
#include "daemon/battery/ticket.h"

namespace leadwright {

/// "12.6"; "null" for what is not a number or infinite.
std::string json_number(double value);
/// Quoted and escaped; a byte that is not UTF-8, as noise on a wire, becomes U+FFFD.
std::string json_string(std::string_view text);
/// "[a,b]" of what `to_text` makes of each.
template <class T, class ToText>
std::string json_array(const std::vector<T>& items, ToText to_text) {
  std::string text = "[";
  for (const T& item : items) {
    if (text.size() > 1) text += ',';
    text += to_text(item);
  }
  return text + "]";
}

/// {"chemistry","cells","cca_a","cca_standard","reserve_capacity_min","reserve_capacity_standard","c20_ah",
/// "c20_standard","size_code","manufactured_on"}; an unstated rating and its standard are null.
std::string to_json(const Nameplate& nameplate);
/// {"battery":"B-000012","serial", and the nameplate's keys}
std::string to_json(const Battery& battery);
/// {"ticket":"T-..","battery":"B-..","previous","state","state_reason","place","received_at","state_since",
/// "held_until","closing","needs_recharge","procedures":[],"story":{},"inspection":{}}
std::string to_json(const Ticket& ticket);
/// {"to","given_by","recorded_by","at"}
std::string to_json(const Consent& consent);
/// {"run":"R-..","ticket","place","procedure","procedure_version","procedure_hash","started_at","ended_at",
/// "outcome","end_reason","consent":{} or null,
/// "instruments":[{"name","identity","calibration_due","calibration_overdue"}]}
std::string to_json(const Run& run);
/// {"ticket","run","measurand":"ocv_v","value","u","method","conditions",
/// "budget":[{"quantity","value","u_input","sensitivity","u","share"}],"at"}: value and u (standard
/// uncertainty) are in the unit that the measurand ends with.
std::string to_json(const Finding& finding);
/// {"ticket","run","kind","evidence","at"}
std::string to_json(const Fault& fault);
/// {"ticket","letter","reason","policy","policy_hash","software","disposition",
/// "rules":[{"rule","text","unit","limit","value","u","guard_band","probability","outcome"}],
/// "next_procedure","next_why","flags":[],"warranty","second_life","at"}
std::string to_json(const Grade& grade);
/// {"ticket","number","letter","own_letter","own_reason","why","disposition","state","proposed_by",
/// "proposed_at","settled_by","settled_at"}
std::string to_json(const GradeOverride& given);
/// The same with "stands", whether its letter stands, and "waits", whether a second person may confirm it.
std::string override_json(const GradeOverride& given, bool stands, bool waits);
/// {"photo":"H-..","ticket","run","about","at","bytes"}; run is null for one that nothing asked for.
std::string to_json(const Photo& photo);
/// {"person":"P-7","name"}: null once the name was erased
std::string to_json(const Person& person);
/// {"at","actor","what","subject","why"}
std::string to_json(const AuditEntry& entry);

/// Everything that is known about one visit.
struct TicketPage {
  Battery battery;
  Ticket ticket;
  std::vector<Run> runs;
  std::vector<Finding> findings;
  std::vector<Fault> faults;
  std::optional<Grade> grade;  ///< the bench's own
  std::vector<GradeOverride> overrides;
  std::optional<char> letter;   ///< that stands
  std::optional<int> standing;  ///< the number of the override that stands
  std::optional<int> waiting;   ///< of the one that waits for a second person
  std::vector<Photo> photos;
  std::string ahead = "[]";    ///< JSON, of queue/outlook.h
  std::vector<Person> people;  ///< whom its consents and overrides name
};

/// {"ticket":{},"battery":{},"runs":[],"findings":[],"faults":[],"grade":{} or null,"overrides":[],
/// "letter":"B" or null,"photos":[],"ahead":[],"fit":[],"people":[]}
std::string ticket_json(const TicketPage& page);

/// {"ticket":"T-..","state","state_reason","warnings":[]}
std::string received_json(const Ticket& ticket, const std::vector<std::string>& warnings);

/// {"run":"R-..","t_s","step","volts_v","amps_a","case_degc"}
std::string sample_json(RunId run, const Sample& sample);
/// {"run":"R-..","every":n,"samples":[{"t_s","step","volts_v","amps_a","case_degc"}]}: the first sample and
/// every n-th after it; n is at least 1.
std::string trace_json(RunId run, const std::vector<Sample>& samples, std::size_t every);
/// The smallest n for which every n-th of `count` samples are at most `count_max`.
std::size_t thinning(std::size_t count, std::size_t count_max);

/// List columns of the store; reading fails with garbled for anything else than what writing gives.
std::string strings_json(const std::vector<std::string>& texts);
std::string budget_json(const std::vector<BudgetLine>& budget);
Result<std::vector<std::string>> strings_of(std::string_view json);
Result<std::vector<BudgetLine>> budget_of(std::string_view json);
std::string instruments_json(const std::vector<UsedInstrument>& instruments);
Result<std::vector<UsedInstrument>> instruments_of(std::string_view json);
/// A rule that is a text alone, as the first schema kept them, is one without numbers.
std::string rules_json(const std::vector<GradeRule>& rules);
Result<std::vector<GradeRule>> rules_of(std::string_view json);

}  // namespace leadwright
