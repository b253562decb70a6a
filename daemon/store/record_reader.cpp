// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/acid_json.h"
#include "daemon/store/journal_codec.h"
#include "daemon/store/json.h"
#include "daemon/store/records.h"
#include "daemon/store/row_reader.h"
#include "daemon/store/said_json.h"

namespace leadwright {

namespace {

Battery battery_of(Row& row) {
  Battery battery{BatteryId{row.integer(0)}, row.text(1), {}};
  Nameplate& plate = battery.nameplate;
  plate.chemistry = row.known(2, chemistry_of);
  plate.cells = static_cast<int>(row.integer(3));
  plate.cca = row.rating<Ampere>(4, [](double amps) { return Ampere(amps); });
  plate.reserve_capacity = row.rating<Second>(6, minutes);
  plate.c20 = row.rating<Coulomb>(8, ampere_hours);
  plate.size_code = row.text(10);
  plate.manufactured_on = row.text(11);
  return battery;
}

constexpr std::string_view battery_sql =
    "SELECT id, serial, chemistry, cells, cca_a, cca_standard, reserve_capacity_min, "
    "reserve_capacity_standard, c20_ah, c20_standard, size_code, manufactured_on FROM battery ";

Ticket ticket_of(Row& row) {
  Ticket ticket;
  ticket.id = TicketId{row.integer(0)};
  ticket.battery = BatteryId{row.integer(1)};
  if (!row.is_null(2)) ticket.previous = TicketId{row.integer(2)};
  ticket.story = {row.text(3), row.text(4), row.text(5)};
  ticket.inspection = {row.flag(6), row.flag(7), row.flag(8), row.flag(9), row.flag(10), row.text(11)};
  ticket.state = row.known(12, ticket_state_of);
  ticket.state_reason = row.text(13);
  ticket.place = row.text(14);
  ticket.received_at = row.at(15);
  ticket.state_since = row.at(16);
  ticket.held_until = row.maybe_at(17);
  if (!row.is_null(18)) ticket.closing = row.known(18, closing_of);
  ticket.asked_procedures = row.list(strings_of(row.text(19)));
  ticket.needs_recharge = row.flag(20);
  ticket.story.receipt = row.text(21);
  ticket.story.monitor = {row.maybe<double>(22), row.maybe<Second>(23), row.maybe<Celsius>(24), row.text(25)};
  ticket.promised_at = row.maybe_at(26);
  ticket.inspection.terminals_corroded = row.flag(27);
  ticket.inspection.vents_blocked = row.flag(28);
  ticket.inspection.electrolyte_low = row.flag(29);
  ticket.inspection.label_unreadable = row.flag(30);
  ticket.inspection.weight_kg = row.maybe<double>(31);
  ticket.state_said = row.list(stored_phrases_of(row.text(32)));
  ticket.inspection.plus_at = row.text(33);
  ticket.inspection.post = row.text(34);
  ticket.inspection.vehicle_size_code = row.text(35);
  ticket.inspection.vehicle_plus_at = row.text(36);
  ticket.inspection.vehicle_post = row.text(37);
  if (!row.is_null(38))
    ticket.inspection.acid =
        AcidReading{row.list(gravities_of(row.text(38))), Celsius(row.real(39)), row.at(40)};
  return ticket;
}

constexpr std::string_view ticket_columns =
    "SELECT id, battery, previous, complaint, sold_on, monitor_report, cracked, leaking, swollen, frozen, "
    "terminals_damaged, remarks, state, state_reason, place, received_at, state_since_at, held_until_at, "
    "closing, "
    "asked_procedures, needs_recharge, receipt, monitor_soc, monitor_age_s, monitor_degc, monitor_reset_on, "
    "promised_at, terminals_corroded, vents_blocked, electrolyte_low, label_unreadable, weight_kg, "
    "state_said, plus_at, post, vehicle_size_code, vehicle_plus_at, vehicle_post, "
    "gravities, acid_degc, acid_at "
    "FROM ticket ";

std::optional<RunOutcome> outcome_of(std::string_view stored) {
  for (const RunOutcome outcome : {RunOutcome::running, RunOutcome::complete, RunOutcome::stopped,
                                   RunOutcome::tripped, RunOutcome::void_}) {
    if (stored == word(outcome)) return outcome;
  }
  return std::nullopt;
}

Run run_of(Row& row) {
  Run run;
  run.id = row.run(0);
  run.ticket = TicketId{row.integer(1)};
  run.place = row.text(2);
  run.procedure = row.text(3);
  run.procedure_version = static_cast<int>(row.integer(4));
  run.procedure_hash = row.text(5);
  run.started_at = row.at(6);
  run.ended_at = row.maybe_at(7);
  run.outcome = row.known(8, outcome_of);
  run.end_reason = row.text(9);
  if (!row.is_null(10)) run.consent = Consent{row.text(10), row.text(11), row.text(12), row.at(13)};
  run.instruments = row.list(instruments_of(row.text(14)));
  run.ends_at = row.maybe<Volt>(15);
  run.end_said = row.list(stored_phrases_of(row.text(16)));
  return run;
}

constexpr std::string_view run_sql =
    "SELECT run.id, ticket, run.place, procedure, procedure_version, procedure_hash, started_at, ended_at, "
    "outcome, end_reason, agreed_to, given_by, recorded_by, consent.at, instruments, ends_at_v, end_said "
    "FROM run JOIN ticket ON ticket.id = run.ticket LEFT JOIN consent ON consent.run = run.id ";
constexpr std::string_view open_run_sql = "WHERE outcome = 'running' OR state <> 'closed' ";
constexpr std::string_view by_id = "ORDER BY id";

std::string sql(std::string_view select, std::string_view rest = by_id) {
  return std::string(select).append(rest);
}

Finding finding_of(Row& row) {
  Finding finding;
  finding.ticket = TicketId{row.integer(1)};
  finding.run = row.run(2);
  finding.measurand = row.known(3, measurand_of);
  finding.value = row.real(4);
  finding.u = row.real(5);
  finding.method = row.text(6);
  finding.conditions = row.text(7);
  finding.budget = row.list(budget_of(row.text(8)));
  finding.at = row.at(9);
  return finding;
}

constexpr std::string_view finding_sql =
    "SELECT id, ticket, run, measurand, value, u, method, conditions, budget, at FROM finding ";

Fault fault_of(Row& row) {
  return {TicketId{row.integer(1)},
          row.run(2),
          row.known(3, fault_kind_of),
          row.text(4),
          row.at(5),
          row.list(stored_phrases_of(row.text(6)))};
}

constexpr std::string_view fault_sql = "SELECT id, ticket, run, kind, evidence, at, said FROM fault ";

Grade grade_of(Row& row) {
  Grade grade;
  grade.ticket = TicketId{row.integer(1)};
  grade.letter = row.text(2).front();
  grade.reason = row.text(3);
  grade.policy = row.text(4);
  grade.policy_hash = row.text(5);
  grade.software = row.text(6);
  grade.disposition = row.text(7);
  grade.rules = row.list(rules_of(row.text(8)));
  grade.at = row.at(9);
  grade.next_procedure = row.text(10);
  grade.next_why = row.text(11);
  grade.flags = row.list(strings_of(row.text(12)));
  grade.warranty = row.text(13);
  grade.second_life = row.text(14);
  grade.said = row.list(grade_said_of(row.text(15)));
  return grade;
}

constexpr std::string_view grade_sql =
    "SELECT id, ticket, letter, reason, policy, policy_hash, software, disposition, rules, at, "
    "next_procedure, next_why, flags, warranty, second_life, said FROM grade ";

GradeOverride override_of(Row& row) {
  GradeOverride given;
  given.ticket = TicketId{row.integer(0)};
  given.number = static_cast<int>(row.integer(1));
  given.letter = row.text(2).front();
  given.own_letter = row.text(3).front();
  given.own_reason = row.text(4);
  given.why = row.text(5);
  given.disposition = row.text(6);
  given.state = row.known(7, override_state_of);
  given.proposed_by = row.text(8);
  given.proposed_at = row.at(9);
  given.settled_by = row.text(10);
  given.settled_at = row.maybe_at(11);
  return given;
}

constexpr std::string_view override_sql =
    "SELECT ticket, number, letter, own_letter, own_reason, why, disposition, state, proposed_by, "
    "proposed_at, settled_by, settled_at FROM grade_override ";
constexpr std::string_view by_number = "ORDER BY ticket, number";

Photo photo_of(Row& row) {
  return {PhotoId{row.integer(0)},
          TicketId{row.integer(1)},
          row.run(2),
          row.text(3),
          row.at(4),
          row.integer(5),
          {}};
}

constexpr std::string_view photo_sql = "SELECT id, ticket, run, about, at, length(jpeg) FROM photo ";

PlaceRecord place_of(Row& row) {
  return {row.text(0), row.flag(1), row.text(2), row.list(stored_phrases_of(row.text(3)))};
}

constexpr std::string_view place_sql =
    "SELECT name, out_of_service, latched_trip, trip_said FROM place ORDER BY name";

Person person_row(Row& row) {
  return {PersonId{row.integer(0)}, row.text(1), row.integer(2)};
}

constexpr std::string_view person_sql = "SELECT id, name, codes_then FROM person ORDER BY id";

/// A run whose journal or samples can't be read has none: it is void, as it was before there were journals.
std::vector<StoredJournal> journals_of(Database& database, const std::vector<std::string>& texts) {
  std::vector<StoredJournal> all;
  for (const std::string& text : texts) {
    auto journal = decode_journal(text);
    if (!journal) continue;
    auto samples = load_trace(database, journal->run);
    if (samples) all.push_back({std::move(*journal), std::move(*samples)});
  }
  return all;
}

constexpr std::string_view journal_sql =
    "SELECT journal FROM run_journal JOIN run ON run.id = run_journal.run WHERE outcome = 'running' "
    "ORDER BY run.id";

}  // namespace

Result<StoredBench> load_bench(Database& database, RunsOf runs) {
  StoredBench bench;
  Loader from(database);
  from.read(bench.batteries, "battery", sql(battery_sql), battery_of);
  from.read(bench.tickets, "ticket", sql(ticket_columns), ticket_of);
  const std::string which(runs == RunsOf::all_tickets ? std::string_view() : open_run_sql);
  from.read(bench.runs, "run", sql(run_sql, which + "ORDER BY run.id"), run_of);
  from.read(bench.findings, "finding", sql(finding_sql), finding_of);
  from.read(bench.faults, "fault", sql(fault_sql), fault_of);
  from.read(bench.grades, "grade", sql(grade_sql), grade_of);
  from.read(bench.overrides, "grade_override", sql(override_sql, by_number), override_of);
  from.read(bench.photos, "photo", sql(photo_sql), photo_of);
  from.read(bench.places, "place", place_sql, place_of);
  from.read(bench.people, "person", person_sql, person_row);
  std::vector<std::string> journals;
  from.read(journals, "run_journal", journal_sql, [](Row& row) { return row.text(0); });
  bench.journals = journals_of(database, journals);
  bench.last_battery = from.integer("SELECT max(id) FROM battery");
  bench.last_ticket = from.integer("SELECT max(id) FROM ticket");
  bench.last_run = from.integer("SELECT max(id) FROM run");
  bench.last_photo = from.integer("SELECT max(id) FROM photo");
  bench.simulated = from.integer("SELECT simulated FROM meta") != 0;
  if (from.failed()) return tl::unexpected<Error>(*from.failed());
  return bench;
}

Result<StoredBench> load_visit(Database& database, TicketId id) {
  const std::string number = std::to_string(static_cast<std::int64_t>(id));
  const std::string of = "WHERE ticket = " + number + " ORDER BY id";
  StoredBench visit;
  Loader from(database);
  from.read(visit.batteries, "battery",
            sql(battery_sql, "WHERE id = (SELECT battery FROM ticket WHERE id = " + number + ")"),
            battery_of);
  from.read(visit.tickets, "ticket", sql(ticket_columns, "WHERE id = " + number), ticket_of);
  from.read(visit.runs, "run", sql(run_sql, "WHERE run.ticket = " + number + " ORDER BY run.id"), run_of);
  from.read(visit.findings, "finding", sql(finding_sql, of), finding_of);
  from.read(visit.faults, "fault", sql(fault_sql, of), fault_of);
  from.read(visit.grades, "grade", sql(grade_sql, of), grade_of);
  from.read(visit.overrides, "grade_override",
            sql(override_sql, "WHERE ticket = " + number + " ORDER BY number"), override_of);
  from.read(visit.photos, "photo", sql(photo_sql, of), photo_of);
  visit.simulated = from.integer("SELECT simulated FROM meta") != 0;
  if (from.failed()) return tl::unexpected<Error>(*from.failed());
  return visit;
}

Result<std::string> load_photo(Database& database, PhotoId id) {
  auto statement = Statement::prepare(database, "SELECT jpeg FROM photo WHERE id = ?");
  if (!statement) return pass(statement);
  statement->bind_all(static_cast<std::int64_t>(id));
  const auto found = statement->next();
  if (!found) return tl::unexpected<Error>(found.error());
  if (!*found) return std::string();
  const Bytes jpeg = statement->blob(0);
  return std::string(jpeg.begin(), jpeg.end());
}

Result<std::vector<Ticket>> load_tickets(Database& database, std::string_view rest, std::int64_t number) {
  auto statement = Statement::prepare(database, std::string(ticket_columns) + std::string(rest));
  if (!statement) return pass(statement);
  statement->bind_all(number);
  return values<Ticket>(*statement, "ticket", ticket_of);
}

}  // namespace leadwright
