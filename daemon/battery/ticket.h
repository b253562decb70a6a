// SPDX-License-Identifier: Apache-2.0
// The facts that the bench keeps: battery, ticket, run, finding, fault, grade. Values only; the store keeps
// them, the queue changes them, the grading reads them.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "daemon/battery/acid_reading.h"
#include "daemon/battery/nameplate.h"
#include "daemon/battery/said.h"
#include "daemon/battery/vehicle_monitor.h"
#include "daemon/clock/instant.h"

namespace leadwright {

enum class BatteryId : std::int64_t {};
enum class TicketId : std::int64_t {};
enum class RunId : std::int64_t {};

/// "T-000123-c": number and check digit (weighted mod 11, X for ten). parse accepts what shown gives.
std::string shown(TicketId id);
std::string shown(RunId id);      ///< "R-000456"
std::string shown(BatteryId id);  ///< "B-000012"
Result<TicketId> parse_ticket_id(std::string_view text);
Result<RunId> parse_run_id(std::string_view text);  ///< accepts what shown gives, else bad_input

struct Battery {
  BatteryId id{};
  std::string serial;  ///< maker's serial or our own tamper label; never empty
  Nameplate nameplate;
};

/// What the person at the counter said and saw. The inspection's findings that forbid energy are faults.
struct Story {
  std::string complaint;
  std::string sold_on;
  std::string monitor_report;   ///< what the vehicle's battery monitor said; a story, not evidence
  std::string receipt = {};     ///< number of the receipt; empty if none was shown
  VehicleMonitor monitor = {};  ///< the same monitor in numbers
};

struct Inspection {
  bool cracked = false;
  bool leaking = false;
  bool swollen = false;
  bool frozen = false;
  bool terminals_damaged = false;
  std::string remarks;
  bool terminals_corroded = false;
  bool vents_blocked = false;
  bool electrolyte_low = false;  ///< an opened cell shows plates above the acid
  bool label_unreadable = false;
  std::optional<double> weight_kg = {};  ///< as put on a scale; missing if it was not
  std::string plus_at = {};              ///< "left" or "right", seen from the side where the posts are
  std::string post = {};                 ///< kind of its posts: "taper_large"
  std::string vehicle_size_code = {};    ///< what its vehicle asks for; empty, as above, if nobody said
  std::string vehicle_plus_at = {};
  std::string vehicle_post = {};
  std::optional<AcidReading> acid = {};  ///< the newest look with a hydrometer
};

enum class TicketState {
  received,
  refused,
  waiting,
  charging,
  resting,
  testing,
  graded,
  recharging,
  held,
  closed,
};
const char* word(TicketState state);
std::optional<TicketState> ticket_state_of(std::string_view word);

enum class Closing { handed_back, claimed, resold, scrapped };
const char* word(Closing closing);
std::optional<Closing> closing_of(std::string_view word);

struct Ticket {
  TicketId id{};
  BatteryId battery{};
  std::optional<TicketId> previous;  ///< the same battery's earlier visit
  Story story;
  Inspection inspection;
  TicketState state = TicketState::received;
  std::string state_reason;  ///< why it is in this state, one sentence
  std::string place;         ///< name of the place where the battery stands
  Utc received_at;
  /// When it is expected to be done, as the receipt of the drop-off says; missing if nothing was said.
  std::optional<Utc> promised_at;
  Utc state_since;
  std::optional<Utc> held_until;
  std::optional<Closing> closing;
  std::vector<std::string> asked_procedures;  ///< only these are run if not empty (drop-off's wish)
  bool needs_recharge = false;                ///< drawn below 75 % SOC by a test and not recharged since
  Phrases state_said = {};                    ///< `state_reason`; none of what is older than its phrases
};

enum class RunOutcome { running, complete, stopped, tripped, void_ };
const char* word(RunOutcome outcome);

/// The owner's word for a run that takes more from the battery than a test must.
struct Consent {
  std::string to;           ///< what was agreed to: "complete discharge"
  std::string given_by;     ///< code of the person who agreed (people.h)
  std::string recorded_by;  ///< code of who wrote it down
  Utc at;
};

/// An instrument that takes part in a run.
struct UsedInstrument {
  std::string name;                  ///< of its wiring: "bay-1.load"
  std::string identity;              ///< maker, model and serial number as it states them
  std::string calibration_due;       ///< last day of its calibration, "2027-03-01"; empty if nobody said
  bool calibration_overdue = false;  ///< when the run began
};

struct Run {
  RunId id{};
  TicketId ticket{};
  std::string place;
  std::string procedure;
  int procedure_version = 1;
  std::string procedure_hash;
  Utc started_at;
  std::optional<Utc> ended_at;
  RunOutcome outcome = RunOutcome::running;
  std::string end_reason;  ///< plain sentence
  std::optional<Consent> consent;
  std::vector<UsedInstrument> instruments = {};
  std::optional<Volt> ends_at = {};  ///< where its last draw was meant to end, if it drew to a voltage
  Phrases end_said = {};             ///< `end_reason`; none of what is older than its phrases

  void end_with(const Sentence& why) {
    end_reason = why.text();
    end_said = why.phrases();
  }
  Sentence end() const { return {end_reason, end_said}; }
};

/// The quantities a finding may be of. The unit is fixed by the measurand and is part of its key.
enum class Measurand {
  ocv,                   ///< ocv_v
  soc,                   ///< soc_1, 0..1
  resistance,            ///< resistance_ohm, DC two-level
  reserve_capacity,      ///< reserve_capacity_min, as measured
  reserve_capacity_ref,  ///< reserve_capacity_ref_min, at the rating's reference temperature
  delivered,             ///< delivered_ah
  returned,              ///< returned_ah
  temperature,           ///< case_degc
  load_volts,            ///< load_volts_v, at 15 s under half the CCA
  load_margin,           ///< load_margin_v, load_volts less the least at that temperature
  polarisation,          ///< polarisation_ohm, what a pulse adds to its instant resistance
  cranking_estimate,     ///< cranking_estimate_a, at 7.2 V and -18 degC; never a measurement
  capacity_20h,          ///< capacity_20h_ah, as measured
  capacity_20h_ref,      ///< capacity_20h_ref_ah, at 25 degC
  rest_slope,            ///< rest_slope_mv_per_day, negative when it falls
  self_discharge,        ///< self_discharge_1_per_day, share of a full charge
  charge_peak,           ///< charge_peak_v, highest in the three-minute charge
  charge_margin,         ///< charge_margin_v, the most that is sound less charge_peak
  accepted,              ///< accepted_ah, taken in the first stage of a recovery
  charge_needed,         ///< charge_needed_ah, to be put in before fitting
  amps_zero,             ///< amps_zero_a, the ammeter's reading with nothing on
  meters_apart,          ///< meters_apart_v, the charger's voltmeter less the load's
  /// reserve_capacity_at_least_min: it lasted so long and was stopped there.
  reserve_capacity_at_least,
  /// reserve_capacity_ref_at_least_min, the same at the reference temperature.
  reserve_capacity_ref_at_least,
  /// reserve_capacity_ref_forecast_min, where it would have ended by forecast; never a measurement.
  reserve_capacity_ref_forecast,
  /// load_margin_usual_v, the margin at half the CCA usual for its Ah; an estimate.
  load_margin_usual,
  acid_gravity,     ///< acid_gravity_sg, mean of its cells at 80 degF
  acid_spread,      ///< acid_spread_sg, the highest cell less the lowest
  acid_cell_below,  ///< acid_cell_below_sg, median of the others less the lowest cell
  soc_by_acid,      ///< soc_by_acid_1, 0..1
  ocv_above_acid,   ///< ocv_above_acid_v, rested, less what its acid gives
  time_to_full,     ///< time_to_full_min, from the start of a charge until its current was stable
};
const char* key(Measurand measurand);
std::optional<Measurand> measurand_of(std::string_view key);

/// One line of an uncertainty budget. The texts are as a person reads them; empty where a line has none.
struct BudgetLine {
  std::string quantity;
  std::string u_input;           ///< "0.5 % rect.", in the input's own unit
  double u = 0.0;                ///< contribution to the standard uncertainty, in the finding's unit
  std::string value = {};        ///< of the input: "25.00 A"
  std::string sensitivity = {};  ///< what one unit of the input changes: "4.80 min/A"
  double share = 0.0;            ///< of the finding's variance, so that the lines add up to 1
};

struct Finding {
  TicketId ticket{};
  RunId run{};
  Measurand measurand = Measurand::ocv;
  double value = 0.0;  ///< in the measurand's unit
  double u = 0.0;      ///< standard uncertainty, same unit
  std::string method;
  std::string conditions;  ///< "rested; 24.1 degC; reference 25 degC, 0.009/K"
  std::vector<BudgetLine> budget;
  Utc at;
};

enum class FaultKind {
  shorted_cell,
  open_circuit,
  reversed,
  wrong_cell_count,
  not_lead,
  takes_no_charge,
  fails_under_load,  ///< charged and rested, it can't give half its CCA for an instant
  unsafe,
};
const char* word(FaultKind kind);
std::optional<FaultKind> fault_kind_of(std::string_view word);

struct Fault {
  TicketId ticket{};
  RunId run{};  ///< zero if it came from the inspection
  FaultKind kind = FaultKind::unsafe;
  std::string evidence;
  Utc at;
  Phrases said = {};  ///< `evidence`; none where a procedure's file has the words
};

/// One rule of a policy as it was applied. What does not apply to a rule (a fault has no limit) is missing.
struct GradeRule {
  std::string rule;  ///< "limit of B"
  std::string text;  ///< one sentence: limit, value, uncertainty, probability, outcome
  std::string unit = {};
  std::optional<double> limit = {};
  std::optional<double> value = {};
  std::optional<double> u = {};  ///< standard uncertainty of value and limit together
  std::optional<double> guard_band = {};
  std::optional<double> probability = {};  ///< that the true value is at or above the limit
  std::string outcome = {};  ///< "conforms", "does not conform", "undecided" or what else followed
  Phrases said = {};         ///< `text`; none of grades that are older than phrases
};

/// A grade's sentences by their phrases, in the order of those; none of grades that are older than phrases.
struct GradeSaid {
  Phrases reason = {};
  Phrases next_why = {};
  Phrases warranty = {};
  std::vector<Phrases> flags = {};
};

struct Grade {
  TicketId ticket{};
  char letter = 'U';   ///< A, B, C, D, F or U
  std::string reason;  ///< one sentence for a customer
  std::string policy;  ///< name and version
  std::string policy_hash;
  std::string software;
  std::string disposition;
  std::vector<GradeRule> rules;     ///< in the order in which they were applied
  std::string next_procedure = {};  ///< the cheapest that would decide what is undecided; empty if nothing is
  std::string next_why = {};        ///< one sentence about it
  std::vector<std::string> flags = {};  ///< what a person should look at before acting on the letter
  std::string warranty = {};            ///< the arithmetic in one sentence; empty if the policy has none
  std::string second_life = {};         ///< what else it is good for; empty if nothing or not asked
  GradeSaid said = {};
  Utc at;
};

struct AuditEntry {
  Utc at;
  std::string actor;    ///< "leadwrightd", or with codes in place of names (people.h)
  std::string what;     ///< "ticket.move"
  std::string subject;  ///< "T-000123-c" or a place
  std::string why;
};

}  // namespace leadwright
