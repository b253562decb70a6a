// SPDX-License-Identifier: Apache-2.0
// Domain values to rows and back. The only file, with history.cpp and audit.cpp, that knows column names.
#pragma once

#include "daemon/store/database.h"
#include "daemon/store/store.h"

namespace leadwright {

/// Writes records by prepared statements. One thread; lives no longer than its database.
class RecordWriter {
 public:
  static Result<RecordWriter> prepare(Database& database);
  /// Battery, ticket, run, override, photo, place, person, trace block and journal replace their earlier
  /// version; all others are added. What a record refers to must be stored before it, else this fails with
  /// bug.
  Result<void> write(const Record& record);

 private:
  struct Visitor;
  struct Statements {
    Statement battery, ticket, run, consent, finding, fault, grade, place, trace_block, audit, audit_end,
        audit_move, journal, journal_end, answer, answer_end, grade_override, photo, person;
  };
  explicit RecordWriter(Statements statements) : statements_(std::move(statements)) {}
  Statements statements_;
};

/// Whose runs are read; those still "running" always are.
enum class RunsOf { open_tickets, all_tickets };

/// Everything that control needs after a start, in order of id. Fails with garbled, naming the row, for a
/// word that this version does not know.
Result<StoredBench> load_bench(Database& database, RunsOf runs = RunsOf::open_tickets);

/// Answers to creations that are still kept, oldest first.
Result<std::vector<KeptAnswer>> load_answers(Database& database);

/// The ticket, its battery, runs, findings, faults, grades, overrides and photos; all empty if there is no
/// such ticket.
Result<StoredBench> load_visit(Database& database, TicketId id);

/// All stored samples of a run, in order of time.
Result<std::vector<Sample>> load_trace(Database& database, RunId run);

/// The JPEG of a photo; empty if it was erased or there is no such photo.
Result<std::string> load_photo(Database& database, PhotoId id);

/// Tickets by an SQL condition and order after "FROM ticket", with one bound number.
Result<std::vector<Ticket>> load_tickets(Database& database, std::string_view rest, std::int64_t number);

}  // namespace leadwright
