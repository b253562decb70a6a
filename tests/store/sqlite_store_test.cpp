// SPDX-License-Identifier: Apache-2.0
// The store on disk through its public face: every test opens, writes, closes, and looks with a second
// opening.
#include "daemon/store/sqlite_store.h"

#include <gmock/gmock.h>

#include <fstream>

#include "daemon/store/audit.h"
#include "daemon/store/database.h"
#include "daemon/store/history.h"
#include "daemon/store/json.h"
#include "tests/store/store_world.h"

namespace leadwright {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::SizeIs;

Result<std::unique_ptr<SqliteStore>> try_open(const std::string& folder, Loop& loop, bool simulated = true) {
  StoreOptions options;
  options.folder = folder;
  options.simulated = simulated;
  return SqliteStore::open(options, loop);
}

class SqliteStoreTest : public ::testing::Test {
 protected:
  void SetUp() override { store_ = open_store(folder_.path(), loop_); }
  Result<void> write(Batch batch) { return write_now(*store_, loop_, std::move(batch)); }
  StoredBench reopened() {
    store_.reset();
    store_ = open_store(folder_.path(), loop_);
    return store_->load().value();
  }
  TempFolder folder_;
  QueueLoop loop_;
  std::unique_ptr<SqliteStore> store_;
};

TEST_F(SqliteStoreTest, starts_empty) {
  const auto bench = store_->load();
  ASSERT_TRUE(bench) << bench.error().line();
  EXPECT_TRUE(bench->batteries.empty());
  EXPECT_TRUE(bench->tickets.empty());
  EXPECT_EQ(bench->last_ticket, 0);
  EXPECT_TRUE(bench->simulated);
}

TEST_F(SqliteStoreTest, gives_back_every_kind_of_record_as_it_was_written) {
  Batch batch = example_visit();
  for (const Record& more : Batch{example_finding(), example_fault(), example_grade(),
                                  PlaceRecord{"bay-1", true, "over-temperature"}}) {
    batch.push_back(more);
  }
  const auto written = write(std::move(batch));
  ASSERT_TRUE(written) << written.error().line();
  const StoredBench bench = reopened();
  ASSERT_THAT(bench.batteries, SizeIs(1));
  EXPECT_EQ(to_json(bench.batteries[0]), to_json(example_battery()));
  ASSERT_THAT(bench.tickets, SizeIs(1));
  EXPECT_EQ(to_json(bench.tickets[0]), to_json(example_ticket()));
  EXPECT_EQ(bench.tickets[0].received_at, example_ticket().received_at);
  EXPECT_EQ(bench.tickets[0].held_until, example_ticket().held_until);
  ASSERT_THAT(bench.runs, SizeIs(1));
  EXPECT_EQ(to_json(bench.runs[0]), to_json(example_run()));
  ASSERT_THAT(bench.findings, SizeIs(1));
  EXPECT_EQ(to_json(bench.findings[0]), to_json(example_finding()));
  EXPECT_EQ(bench.findings[0].value, example_finding().value);
  ASSERT_THAT(bench.faults, SizeIs(1));
  EXPECT_EQ(to_json(bench.faults[0]), to_json(example_fault()));
  EXPECT_EQ(bench.faults[0].run, RunId{});
  ASSERT_THAT(bench.grades, SizeIs(1));
  EXPECT_EQ(to_json(bench.grades[0]), to_json(example_grade()));
  ASSERT_THAT(bench.places, SizeIs(1));
  EXPECT_EQ(bench.places[0].latched_trip, "over-temperature");
  EXPECT_TRUE(bench.places[0].out_of_service);
}

TEST_F(SqliteStoreTest, keeps_what_is_missing_missing) {
  Battery bare;
  bare.id = BatteryId{1};
  bare.serial = "x";
  Ticket ticket;
  ticket.id = TicketId{1};
  ticket.battery = bare.id;
  ASSERT_TRUE(write({bare, ticket}));
  const StoredBench bench = reopened();
  EXPECT_FALSE(bench.batteries[0].nameplate.cca);
  EXPECT_FALSE(bench.batteries[0].nameplate.reserve_capacity);
  EXPECT_FALSE(bench.batteries[0].nameplate.c20);
  EXPECT_FALSE(bench.tickets[0].previous);
  EXPECT_FALSE(bench.tickets[0].held_until);
  EXPECT_FALSE(bench.tickets[0].closing);
}

TEST_F(SqliteStoreTest, replaces_tickets_runs_and_places_and_adds_findings) {
  ASSERT_TRUE(write(example_visit()));
  Ticket later = example_ticket();
  later.state = TicketState::graded;
  auto ended = example_run();
  ended.outcome = RunOutcome::complete;
  ended.ended_at = Utc(ended.started_at.ns() + 5);
  ASSERT_TRUE(write({later, ended, example_finding(), PlaceRecord{"bay-1", false, "trip"}}));
  ASSERT_TRUE(write({example_finding(), PlaceRecord{"bay-1", false, ""}}));
  const StoredBench bench = reopened();
  ASSERT_THAT(bench.tickets, SizeIs(1));
  EXPECT_EQ(bench.tickets[0].state, TicketState::graded);
  ASSERT_THAT(bench.runs, SizeIs(1));
  EXPECT_EQ(bench.runs[0].outcome, RunOutcome::complete);
  EXPECT_EQ(bench.runs[0].ended_at, ended.ended_at);
  ASSERT_TRUE(bench.runs[0].consent);
  EXPECT_EQ(bench.runs[0].consent->given_by, "A. Owner");
  EXPECT_THAT(bench.findings, SizeIs(2));
  ASSERT_THAT(bench.places, SizeIs(1));
  EXPECT_EQ(bench.places[0].latched_trip, "");
}

TEST_F(SqliteStoreTest, keeps_every_override_of_a_ticket_in_order_and_replaces_one_that_was_settled) {
  ASSERT_TRUE(write(example_visit()));
  ASSERT_TRUE(write({example_override(2), example_override(1)}));
  GradeOverride settled = example_override(1);
  settled.state = OverrideState::confirmed;
  settled.settled_by = "bob";
  settled.settled_at = Utc(1'700'000'000'000'000'002);
  ASSERT_TRUE(write({settled}));
  const StoredBench bench = reopened();
  ASSERT_THAT(bench.overrides, SizeIs(2));
  EXPECT_EQ(to_json(bench.overrides[0]), to_json(settled));
  EXPECT_EQ(to_json(bench.overrides[1]), to_json(example_override(2)));
  EXPECT_FALSE(write({[] {
    GradeOverride of_nothing = example_override();
    of_nothing.ticket = TicketId{99};
    return of_nothing;
  }()}));
}

TEST_F(SqliteStoreTest, keeps_a_photo_apart_from_what_control_loads_and_forgets_it_when_it_is_erased) {
  ASSERT_TRUE(write(example_visit()));
  ASSERT_TRUE(write({example_photo("a picture"), example_photo("another picture")}));
  const StoredBench bench = reopened();
  ASSERT_THAT(bench.photos, SizeIs(1));
  EXPECT_EQ(to_json(bench.photos[0]), to_json(example_photo("another picture")));
  EXPECT_EQ(bench.photos[0].jpeg, "");
  EXPECT_EQ(bench.last_photo, 1);
  const auto history = open_history(database_path(folder_.path()));
  ASSERT_TRUE(history) << history.error().line();
  EXPECT_EQ((*history)->photo(PhotoId{1}), "another picture");
  EXPECT_EQ((*history)->photo(PhotoId{2}), "");
  ASSERT_TRUE(write({example_photo("")}));
  EXPECT_EQ((*history)->photo(PhotoId{1}), "");
  const auto visit = (*history)->visit(example_ticket().id);
  ASSERT_TRUE(visit);
  ASSERT_THAT(visit->photos, SizeIs(1));
  EXPECT_EQ(visit->photos[0].bytes, 0);
}

TEST_F(SqliteStoreTest, loads_runs_of_open_tickets_and_every_run_that_still_runs) {
  ASSERT_TRUE(write(example_visit()));
  Ticket closed = example_ticket();
  closed.state = TicketState::closed;
  closed.closing = Closing::handed_back;
  auto ended = example_run();
  ended.outcome = RunOutcome::tripped;
  auto other = example_run(2);
  other.consent.reset();
  ASSERT_TRUE(write({ended, other}));
  EXPECT_THAT(store_->load()->runs, SizeIs(2));
  ASSERT_TRUE(write({closed}));
  const StoredBench bench = reopened();
  ASSERT_THAT(bench.runs, SizeIs(1));
  EXPECT_EQ(bench.runs[0].id, RunId{2});
  EXPECT_FALSE(bench.runs[0].consent) << "a run that needed none has none";
  EXPECT_EQ(bench.last_run, 2);
  EXPECT_EQ(bench.tickets[0].closing, Closing::handed_back);
}

TEST_F(SqliteStoreTest, acknowledges_in_the_order_of_the_writes) {
  ASSERT_TRUE(write(example_visit()));
  std::vector<int> order;
  for (int i = 0; i < 200; ++i) {
    store_->write({example_audit(i)}, [&order, i](Result<void> result) {
      EXPECT_TRUE(result);
      order.push_back(i);
    });
  }
  loop_.run_until([&] { return order.size() == 200; });
  EXPECT_TRUE(std::is_sorted(order.begin(), order.end()));
  EXPECT_EQ(store_->backlog(), 0U);
  EXPECT_EQ(verify_audit(store_->path())->rows, 200);
}

TEST_F(SqliteStoreTest, has_an_acknowledged_write_on_disk_before_it_says_so) {
  std::size_t seen = 0;
  bool is_asked = false;
  store_->write(example_visit(), [&](Result<void> result) {
    ASSERT_TRUE(result);
    auto other = Database::open(store_->path(), Database::Access::read_only);
    seen = static_cast<std::size_t>(other->integer("SELECT count(*) FROM ticket").value());
    is_asked = true;
  });
  loop_.run_until([&] { return is_asked; });
  EXPECT_EQ(seen, 1U);
}

TEST_F(SqliteStoreTest, fails_a_bad_batch_whole_and_keeps_its_neighbours) {
  ASSERT_TRUE(write(example_visit()));
  std::vector<bool> answers;
  const auto note = [&](const Result<void>& result) { answers.push_back(result.has_value()); };
  Fault orphan = example_fault();
  orphan.ticket = TicketId{99};
  store_->write({example_fault()}, note);
  store_->write({example_fault(), orphan}, note);
  store_->write({example_fault()}, note);
  loop_.run_until([&] { return answers.size() == 3; });
  EXPECT_THAT(answers, ElementsAre(true, false, true));
  EXPECT_THAT(reopened().faults, SizeIs(2));
}

TEST_F(SqliteStoreTest, goes_on_with_the_audit_chain_after_a_batch_that_failed) {
  Fault orphan = example_fault();
  ASSERT_TRUE(write({example_audit(1)}));
  ASSERT_FALSE(write({example_audit(2), orphan}));
  ASSERT_TRUE(write({example_audit(3)}));
  const auto proof = verify_audit(store_->path());
  ASSERT_TRUE(proof) << proof.error().line();
  EXPECT_EQ(proof->rows, 2);
}

TEST_F(SqliteStoreTest, says_busy_when_its_queue_is_full) {
  store_.reset();
  StoreOptions options;
  options.folder = folder_.path();
  options.simulated = true;
  options.batches_max = 0;
  store_ = std::move(SqliteStore::open(options, loop_).value());
  const auto result = write({example_audit()});
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().code, Errc::busy);
}

TEST_F(SqliteStoreTest, writes_what_it_has_accepted_before_it_ends) {
  for (int i = 0; i < 50; ++i) store_->write({example_audit(i)}, {});
  const std::string path = store_->path();
  store_.reset();
  EXPECT_EQ(verify_audit(path)->rows, 50);
}

TEST_F(SqliteStoreTest, refuses_a_second_daemon_on_the_same_folder) {
  const auto second = try_open(folder_.path(), loop_);
  ASSERT_FALSE(second);
  EXPECT_EQ(second.error().code, Errc::busy);
  EXPECT_THAT(second.error().what, HasSubstr("process " + std::to_string(::getpid())));
  EXPECT_THAT(second.error().mend, HasSubstr("--state"));
}

TEST_F(SqliteStoreTest, opens_again_after_the_first_daemon_has_ended) {
  store_.reset();
  EXPECT_TRUE(try_open(folder_.path(), loop_));
}

TEST_F(SqliteStoreTest, refuses_to_mix_simulated_and_real_work) {
  store_.reset();
  const auto real = try_open(folder_.path(), loop_, false);
  ASSERT_FALSE(real);
  EXPECT_EQ(real.error().code, Errc::refused);
  EXPECT_THAT(real.error().what, HasSubstr("holds simulated work"));
  EXPECT_THAT(real.error().mend, HasSubstr("--state"));
  EXPECT_TRUE(try_open(folder_.path(), loop_, true));
}

TEST_F(SqliteStoreTest, refuses_a_newer_schema_and_leaves_it) {
  store_.reset();
  Database::open(database_path(folder_.path()), Database::Access::read_write)
      ->execute("PRAGMA user_version = 999");
  const auto newer = try_open(folder_.path(), loop_);
  ASSERT_FALSE(newer);
  EXPECT_EQ(newer.error().code, Errc::unsupported);
  auto kept = Database::open(database_path(folder_.path()), Database::Access::read_only);
  EXPECT_EQ(kept->integer("PRAGMA user_version"), 999);
}

TEST_F(SqliteStoreTest, refuses_a_file_that_is_no_database_and_keeps_it) {
  store_.reset();
  const std::string path = database_path(folder_.path());
  const std::string garbage(8192, 'x');
  std::ofstream(path, std::ios::binary) << garbage;
  const auto opened = try_open(folder_.path(), loop_);
  ASSERT_FALSE(opened);
  EXPECT_EQ(opened.error().code, Errc::bad_input);
  EXPECT_THAT(opened.error().mend, HasSubstr("backup"));
  std::ifstream in(path, std::ios::binary);
  EXPECT_EQ(std::string(std::istreambuf_iterator<char>(in), {}), garbage);
}

TEST_F(SqliteStoreTest, refuses_a_database_with_a_damaged_page) {
  for (int i = 0; i < 500; ++i) store_->write({example_audit(i)}, {});
  store_.reset();
  const std::string path = database_path(folder_.path());
  std::fstream file(path, std::ios::binary | std::ios::in | std::ios::out);
  file.seekp(0, std::ios::end);
  // The last page belongs to the audit rows; a page starts with its type, and 0xee is none.
  file.seekp(file.tellp() - std::streamoff{4096});
  file.put('\xee');
  file.close();
  const auto opened = try_open(folder_.path(), loop_);
  ASSERT_FALSE(opened);
  EXPECT_EQ(opened.error().code, Errc::io);
  EXPECT_THAT(opened.error().what, HasSubstr("damaged"));
  EXPECT_TRUE(std::filesystem::exists(path));
}

TEST_F(SqliteStoreTest, refuses_another_programs_database) {
  store_.reset();
  TempFolder other;
  Database::open(database_path(other.path()), Database::Access::read_write)
      ->execute("CREATE TABLE recipes (name)");
  const auto opened = try_open(other.path(), loop_);
  ASSERT_FALSE(opened);
  EXPECT_EQ(opened.error().code, Errc::bad_input);
}

TEST_F(SqliteStoreTest, names_the_folder_that_it_cannot_make) {
  std::ofstream(folder_.path() + "/file") << "x";
  const auto opened = try_open(folder_.path() + "/file/state", loop_);
  ASSERT_FALSE(opened);
  EXPECT_EQ(opened.error().code, Errc::io);
  EXPECT_THAT(opened.error().where, HasSubstr("/file/state"));
}

TEST_F(SqliteStoreTest, names_the_row_with_a_word_that_it_does_not_know) {
  ASSERT_TRUE(write(example_visit()));
  store_.reset();
  Database::open(database_path(folder_.path()), Database::Access::read_write)
      ->execute("UPDATE ticket SET state = 'lost' WHERE id = 1");
  store_ = open_store(folder_.path(), loop_);
  const auto bench = store_->load();
  ASSERT_FALSE(bench);
  EXPECT_EQ(bench.error().code, Errc::garbled);
  EXPECT_THAT(bench.error().line(), HasSubstr("'lost'"));
}

TEST_F(SqliteStoreTest, keeps_the_write_ahead_log_bounded_under_steady_writing) {
  constexpr std::uintmax_t wal_bytes_max = 64U << 20U;  // reliability goal 16
  int answered = 0;
  ASSERT_TRUE(write(example_visit()));
  for (int i = 0; i < 300; ++i) {
    TraceBlock block{RunId{1}, i, example_samples(600)};
    for (int j = 0; j < 20; ++j) store_->write({block}, [&](const Result<void>&) { ++answered; });
    loop_.run_until([&] { return answered == (i + 1) * 20; });
  }
  EXPECT_LE(std::filesystem::file_size(store_->path() + "-wal"), wal_bytes_max);
}

TEST_F(SqliteStoreTest, history_reads_what_was_written_while_the_store_is_open) {
  ASSERT_TRUE(write(example_visit()));
  const std::vector<Sample> samples = example_samples(90);
  const TraceBlock later{RunId{1}, 1, {samples.begin() + 50, samples.end()}};
  const TraceBlock first{RunId{1}, 0, {samples.begin(), samples.begin() + 50}};
  ASSERT_TRUE(write({later, first, example_audit()}));
  Ticket closed = example_ticket();
  closed.state = TicketState::closed;
  closed.closing = Closing::scrapped;
  ASSERT_TRUE(write({closed}));
  auto history = open_history(store_->path());
  ASSERT_TRUE(history);
  const auto trace = (*history)->trace(RunId{1});
  ASSERT_TRUE(trace) << trace.error().line();
  ASSERT_THAT(*trace, SizeIs(90));
  EXPECT_EQ((*trace)[49].volts, samples[49].volts);
  EXPECT_EQ((*trace)[89].at, samples[89].at);
  EXPECT_TRUE((*history)->trace(RunId{7})->empty());
  EXPECT_TRUE((*history)->has_run(RunId{1}).value());
  EXPECT_FALSE((*history)->has_run(RunId{7}).value());
  const auto rows = (*history)->audit_of("T-000001-9");
  ASSERT_THAT(*rows, SizeIs(1));
  EXPECT_EQ(rows->front().actor, "pat");
  const auto tickets = (*history)->closed_tickets(10);
  ASSERT_THAT(*tickets, SizeIs(1));
  EXPECT_EQ(tickets->front().closing, Closing::scrapped);
  EXPECT_TRUE((*history)->closed_tickets(0)->empty());
}

TEST_F(SqliteStoreTest, history_keeps_the_runs_of_closed_tickets_too) {
  ASSERT_TRUE(write(example_visit()));
  leadwright::Run ended = example_run();
  ended.outcome = RunOutcome::complete;
  Ticket closed = example_ticket();
  closed.state = TicketState::closed;
  ASSERT_TRUE(write({ended, closed}));
  EXPECT_TRUE(reopened().runs.empty());
  const auto everything = open_history(store_->path()).value()->everything();
  ASSERT_TRUE(everything) << everything.error().line();
  EXPECT_THAT(everything->runs, SizeIs(1));
}

TEST_F(SqliteStoreTest, history_gives_one_visit_without_the_others) {
  ASSERT_TRUE(write(example_visit()));
  Battery other = example_battery(2);
  Ticket later = example_ticket(2);
  later.battery = other.id;
  leadwright::Run run_of_other = example_run(2);
  run_of_other.ticket = later.id;
  Grade grade_of_other = example_grade();
  grade_of_other.ticket = later.id;
  Finding finding_of_other = example_finding();
  finding_of_other.ticket = later.id;
  finding_of_other.run = run_of_other.id;
  ASSERT_TRUE(write({example_finding(), example_fault(), example_grade(), other, later, run_of_other,
                     finding_of_other, grade_of_other}));
  const auto visit = open_history(store_->path()).value()->visit(TicketId{1});
  ASSERT_TRUE(visit) << visit.error().line();
  ASSERT_THAT(visit->tickets, SizeIs(1));
  ASSERT_THAT(visit->batteries, SizeIs(1));
  EXPECT_EQ(visit->batteries[0].serial, example_battery().serial);
  ASSERT_THAT(visit->runs, SizeIs(1));
  EXPECT_EQ(visit->runs[0].id, leadwright::RunId{1});
  EXPECT_THAT(visit->findings, SizeIs(1));
  EXPECT_THAT(visit->faults, SizeIs(1));
  EXPECT_THAT(visit->grades, SizeIs(1));
  EXPECT_TRUE(visit->simulated);
  const auto none = open_history(store_->path()).value()->visit(TicketId{9});
  ASSERT_TRUE(none);
  EXPECT_TRUE(none->tickets.empty() && none->batteries.empty() && none->runs.empty());
}

TEST_F(SqliteStoreTest, history_sees_a_block_that_was_replaced_by_a_longer_one) {
  ASSERT_TRUE(write(example_visit()));
  ASSERT_TRUE(write({TraceBlock{RunId{1}, 0, example_samples(10)}}));
  ASSERT_TRUE(write({TraceBlock{RunId{1}, 0, example_samples(20)}}));
  EXPECT_THAT(open_history(store_->path()).value()->trace(RunId{1}).value(), SizeIs(20));
}

TEST_F(SqliteStoreTest, history_cannot_write) {
  auto reader = Database::open(store_->path(), Database::Access::read_only);
  ASSERT_TRUE(reader);
  EXPECT_FALSE(reader->execute("DELETE FROM audit"));
}

}  // namespace
}  // namespace leadwright
