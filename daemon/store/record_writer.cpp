// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <initializer_list>

#include "daemon/store/acid_json.h"
#include "daemon/store/audit.h"
#include "daemon/store/journal_codec.h"
#include "daemon/store/json.h"
#include "daemon/store/records.h"
#include "daemon/store/said_json.h"
#include "daemon/store/trace_codec.h"

namespace leadwright {

namespace {

using Columns = std::initializer_list<const char*>;

std::string insert_sql(const char* table, Columns columns) {
  std::string names;
  std::string marks;
  for (const char* column : columns) {
    names += (names.empty() ? "" : ", ") + std::string(column);
    marks += marks.empty() ? "?" : ", ?";
  }
  return "INSERT INTO " + std::string(table) + " (" + names + ") VALUES (" + marks + ")";
}

std::string upsert_sql(const char* table, const char* keys, Columns columns) {
  std::string sets;
  for (const char* column : columns) {
    sets += (sets.empty() ? "" : ", ") + std::string(column) + " = excluded." + column;
  }
  return insert_sql(table, columns) + " ON CONFLICT (" + keys + ") DO UPDATE SET " + sets;
}

std::string ticket_sql() {
  return upsert_sql("ticket", "id",
                    {"id",
                     "battery",
                     "previous",
                     "complaint",
                     "sold_on",
                     "monitor_report",
                     "cracked",
                     "leaking",
                     "swollen",
                     "frozen",
                     "terminals_damaged",
                     "remarks",
                     "state",
                     "state_reason",
                     "place",
                     "received_at",
                     "state_since_at",
                     "held_until_at",
                     "closing",
                     "asked_procedures",
                     "needs_recharge",
                     "receipt",
                     "monitor_soc",
                     "monitor_age_s",
                     "monitor_degc",
                     "monitor_reset_on",
                     "promised_at",
                     "terminals_corroded",
                     "vents_blocked",
                     "electrolyte_low",
                     "label_unreadable",
                     "weight_kg",
                     "state_said",
                     "plus_at",
                     "post",
                     "vehicle_size_code",
                     "vehicle_plus_at",
                     "vehicle_post",
                     "gravities",
                     "acid_degc",
                     "acid_at"});
}

std::int64_t number(BatteryId id) {
  return static_cast<std::int64_t>(id);
}
std::int64_t number(TicketId id) {
  return static_cast<std::int64_t>(id);
}
std::int64_t number(PersonId id) {
  return static_cast<std::int64_t>(id);
}
std::int64_t number(RunId id) {
  return static_cast<std::int64_t>(id);
}

/// Run zero means "of no run".
std::optional<std::int64_t> run_or_null(RunId id) {
  return id == RunId{} ? std::nullopt : std::optional(number(id));
}

std::optional<std::int64_t> ns_or_null(const std::optional<Utc>& at) {
  return at ? std::optional(at->ns()) : std::nullopt;
}

template <class T>
std::optional<std::string> standard_or_null(const std::optional<Rating<T>>& rating) {
  return rating ? std::optional<std::string>(word(rating->standard)) : std::nullopt;
}

}  // namespace

struct RecordWriter::Visitor {
  Statements& to;

  Result<void> operator()(const Battery& battery) {
    const Nameplate& plate = battery.nameplate;
    const auto cca = plate.cca ? std::optional(plate.cca->value.si()) : std::nullopt;
    const auto reserve =
        plate.reserve_capacity ? std::optional(as_minutes(plate.reserve_capacity->value)) : std::nullopt;
    const auto c20 = plate.c20 ? std::optional(as_ampere_hours(plate.c20->value)) : std::nullopt;
    return to.battery.run(number(battery.id), battery.serial, word(plate.chemistry), plate.cells, cca,
                          standard_or_null(plate.cca), reserve, standard_or_null(plate.reserve_capacity), c20,
                          standard_or_null(plate.c20), plate.size_code, plate.manufactured_on);
  }

  Result<void> operator()(const Ticket& ticket) {
    const auto previous = ticket.previous ? std::optional(number(*ticket.previous)) : std::nullopt;
    const auto closing = ticket.closing ? std::optional<std::string>(word(*ticket.closing)) : std::nullopt;
    const Story& story = ticket.story;
    const Inspection& seen = ticket.inspection;
    return to.ticket.run(
        number(ticket.id), number(ticket.battery), previous, story.complaint, story.sold_on,
        story.monitor_report, seen.cracked, seen.leaking, seen.swollen, seen.frozen, seen.terminals_damaged,
        seen.remarks, word(ticket.state), ticket.state_reason, ticket.place, ticket.received_at.ns(),
        ticket.state_since.ns(), ns_or_null(ticket.held_until), closing,
        strings_json(ticket.asked_procedures), ticket.needs_recharge, story.receipt, story.monitor.soc,
        story.monitor.age ? std::optional(story.monitor.age->si()) : std::nullopt,
        story.monitor.battery ? std::optional(story.monitor.battery->degc()) : std::nullopt,
        story.monitor.reset_on, ns_or_null(ticket.promised_at), seen.terminals_corroded, seen.vents_blocked,
        seen.electrolyte_low, seen.label_unreadable, seen.weight_kg, phrases_json(ticket.state_said),
        seen.plus_at, seen.post, seen.vehicle_size_code, seen.vehicle_plus_at, seen.vehicle_post,
        seen.acid ? std::optional(gravities_json(seen.acid->gravity)) : std::nullopt,
        seen.acid ? std::optional(seen.acid->acid.degc()) : std::nullopt,
        seen.acid ? std::optional(seen.acid->at.ns()) : std::nullopt);
  }

  Result<void> operator()(const Run& run) {
    if (run.outcome != RunOutcome::running) {
      auto ended = (*this)(NoResume{run.id});
      if (!ended) return ended;
    }
    auto done =
        to.run.run(number(run.id), number(run.ticket), run.place, run.procedure, run.procedure_version,
                   run.procedure_hash, run.started_at.ns(), ns_or_null(run.ended_at), word(run.outcome),
                   run.end_reason, instruments_json(run.instruments),
                   run.ends_at ? std::optional(run.ends_at->si()) : std::nullopt, phrases_json(run.end_said));
    if (!done || !run.consent) return done;
    const Consent& consent = *run.consent;
    return to.consent.run(number(run.id), consent.to, consent.given_by, consent.recorded_by, consent.at.ns());
  }

  Result<void> operator()(const Finding& finding) {
    return to.finding.run(number(finding.ticket), run_or_null(finding.run), key(finding.measurand),
                          finding.value, finding.u, finding.method, finding.conditions,
                          budget_json(finding.budget), finding.at.ns());
  }

  Result<void> operator()(const Fault& fault) {
    return to.fault.run(number(fault.ticket), run_or_null(fault.run), word(fault.kind), fault.evidence,
                        fault.at.ns(), phrases_json(fault.said));
  }

  Result<void> operator()(const Grade& grade) {
    return to.grade.run(number(grade.ticket), std::string_view(&grade.letter, 1), grade.reason, grade.policy,
                        grade.policy_hash, grade.software, grade.disposition, rules_json(grade.rules),
                        grade.at.ns(), grade.next_procedure, grade.next_why, strings_json(grade.flags),
                        grade.warranty, grade.second_life, said_json(grade.said));
  }

  Result<void> operator()(const GradeOverride& given) {
    return to.grade_override.run(number(given.ticket), given.number, std::string_view(&given.letter, 1),
                                 std::string_view(&given.own_letter, 1), given.own_reason, given.why,
                                 given.disposition, word(given.state), given.proposed_by,
                                 given.proposed_at.ns(), given.settled_by, ns_or_null(given.settled_at));
  }

  Result<void> operator()(const Photo& photo) {
    return to.photo.run(static_cast<std::int64_t>(photo.id), number(photo.ticket), run_or_null(photo.run),
                        photo.about, photo.at.ns(), Bytes(photo.jpeg.begin(), photo.jpeg.end()));
  }

  Result<void> operator()(const PlaceRecord& place) {
    return to.place.run(place.name, place.out_of_service, place.latched_trip, phrases_json(place.trip_said));
  }

  Result<void> operator()(const Person& person) {
    return to.person.run(number(person.id), person.name, person.codes_then);
  }

  Result<void> operator()(const TraceBlock& block) {
    auto samples = encode_samples(block.samples);
    if (!samples) return pass(samples);
    return to.trace_block.run(number(block.run), block.sequence, *samples);
  }

  Result<void> operator()(const RunJournal& journal) {
    return to.journal.run(number(journal.run), encode_journal(journal));
  }

  Result<void> operator()(const NoResume& end) { return to.journal_end.run(number(end.run)); }

  Result<void> operator()(const KeptAnswer& answer) {
    auto forgotten = to.answer_end.run((answer.at + (Second(0.0) - KeptAnswer::kept_for)).ns());
    if (!forgotten) return forgotten;
    return to.answer.run(answer.key, answer.asked, answer.status, answer.body, answer.at.ns());
  }

  Result<void> operator()(const AuditEntry& entry) {
    to.audit_end.bind_all();
    auto found = to.audit_end.next();
    if (!found) return pass(found);
    const std::int64_t row = to.audit_end.integer(0) + 1;
    const Bytes stored = to.audit_end.blob(1);
    AuditHash previous{};
    if (!*found || stored.size() != previous.size())
      return fail(Errc::io, "the end of the audit chain is lost");
    std::copy(stored.begin(), stored.end(), previous.begin());
    to.audit_end.bind_all();
    const AuditHash next = audit_hash(previous, row, entry);
    const Bytes hash(next.begin(), next.end());
    auto added = to.audit.run(row, entry.at.ns(), entry.actor, entry.what, entry.subject, entry.why, hash);
    if (!added) return added;
    return to.audit_move.run(row, hash);
  }
};

Result<RecordWriter> RecordWriter::prepare(Database& database) {
  std::optional<Error> failed;
  const auto prepared = [&](const std::string& sql) {
    auto statement = Statement::prepare(database, sql);
    if (statement) return std::move(*statement);
    if (!failed) failed = statement.error();
    return Statement();
  };
  Statements statements{
      prepared(upsert_sql(
          "battery", "id",
          {"id", "serial", "chemistry", "cells", "cca_a", "cca_standard", "reserve_capacity_min",
           "reserve_capacity_standard", "c20_ah", "c20_standard", "size_code", "manufactured_on"})),
      prepared(ticket_sql()),
      prepared(upsert_sql(
          "run", "id",
          {"id", "ticket", "place", "procedure", "procedure_version", "procedure_hash", "started_at",
           "ended_at", "outcome", "end_reason", "instruments", "ends_at_v", "end_said"})),
      prepared(upsert_sql("consent", "run", {"run", "agreed_to", "given_by", "recorded_by", "at"})),
      prepared(insert_sql(
          "finding", {"ticket", "run", "measurand", "value", "u", "method", "conditions", "budget", "at"})),
      prepared(insert_sql("fault", {"ticket", "run", "kind", "evidence", "at", "said"})),
      prepared(insert_sql(
          "grade", {"ticket", "letter", "reason", "policy", "policy_hash", "software", "disposition", "rules",
                    "at", "next_procedure", "next_why", "flags", "warranty", "second_life", "said"})),
      prepared(upsert_sql("place", "name", {"name", "out_of_service", "latched_trip", "trip_said"})),
      prepared(upsert_sql("trace_block", "run, sequence", {"run", "sequence", "samples"})),
      prepared(insert_sql("audit", {"id", "at", "actor", "what", "subject", "why", "hash"})),
      prepared("SELECT audit_rows, audit_hash FROM meta"),
      prepared("UPDATE meta SET audit_rows = ?, audit_hash = ?"),
      prepared(upsert_sql("run_journal", "run", {"run", "journal"})),
      prepared("DELETE FROM run_journal WHERE run = ?"),
      prepared(upsert_sql("kept_answer", "key", {"key", "asked", "status", "body", "at"})),
      prepared("DELETE FROM kept_answer WHERE at < ?"),
      prepared(upsert_sql("grade_override", "ticket, number",
                          {"ticket", "number", "letter", "own_letter", "own_reason", "why", "disposition",
                           "state", "proposed_by", "proposed_at", "settled_by", "settled_at"})),
      prepared(upsert_sql("photo", "id", {"id", "ticket", "run", "about", "at", "jpeg"})),
      prepared(upsert_sql("person", "id", {"id", "name", "codes_then"}) + " WHERE person.name <> ''"),
  };
  if (failed) return tl::unexpected<Error>(*failed);
  return RecordWriter(std::move(statements));
}

Result<void> RecordWriter::write(const Record& record) {
  return std::visit(Visitor{statements_}, record);
}

}  // namespace leadwright
