// SPDX-License-Identifier: Apache-2.0
// What is erased in the store is gone from every byte of every file: names, kept in one table, and photos.
#include <gmock/gmock.h>

#include <fstream>
#include <iterator>

#include "daemon/clock/virtual_clock.h"
#include "daemon/store/audit.h"
#include "daemon/store/database.h"
#include "daemon/store/history.h"
#include "daemon/store/memory_store.h"
#include "daemon/store/schema.h"
#include "tests/store/store_world.h"

namespace leadwright {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using ::testing::SizeIs;

/// So many that the table has several pages, whose rows were moved from page to page.
constexpr int people_count = 2000;

Person person(int number) {
  return {PersonId{number}, "Somebody Unusual " + std::to_string(number) + " of the Long Lane"};
}

std::string bytes_of(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

class ErasureTest : public ::testing::Test {
 protected:
  void SetUp() override { store_ = open_store(folder_.path(), loop_); }
  Result<void> write(Batch batch) { return write_now(*store_, loop_, std::move(batch)); }
  void add_people() {
    Batch batch;
    for (int number = 1; number <= people_count; ++number) batch.emplace_back(person(number));
    ASSERT_TRUE(write(std::move(batch)));
  }
  /// Files in which the text stands.
  std::vector<std::string> files_with(const std::string& text) const {
    std::vector<std::string> found;
    for (const auto& each : std::filesystem::recursive_directory_iterator(folder_.path())) {
      if (each.is_regular_file() && bytes_of(each.path()).find(text) != std::string::npos)
        found.push_back(each.path().filename().string());
    }
    return found;
  }
  TempFolder folder_;
  QueueLoop loop_;
  std::unique_ptr<SqliteStore> store_;
};

TEST_F(ErasureTest, leaves_no_byte_of_the_name_in_any_file_while_the_store_is_open_and_after_it_is_closed) {
  add_people();
  const std::string name = person(500).name;
  ASSERT_THAT(files_with(name), Not(IsEmpty())) << "the search finds what is there";
  ASSERT_TRUE(write({Person{PersonId{500}, "", people_count}, example_audit()}));
  EXPECT_THAT(files_with(name), IsEmpty());
  EXPECT_THAT(files_with(person(501).name), Not(IsEmpty()));
  const StoredBench bench = store_->load().value();
  ASSERT_THAT(bench.people, SizeIs(people_count));
  EXPECT_TRUE(bench.people.at(499).is_erased());
  EXPECT_EQ(bench.people.at(499).codes_then, people_count);
  EXPECT_EQ(bench.people.at(500).name, person(501).name);
  store_.reset();
  EXPECT_THAT(files_with(name), IsEmpty());
}

TEST_F(ErasureTest, leaves_none_of_many_names_whose_rows_were_moved_together_meanwhile) {
  add_people();
  Batch batch;
  // 7 has no divisor in common with their number: each comes once, all over the table.
  for (int i = 0; i < people_count / 2; ++i)
    batch.emplace_back(Person{PersonId{1 + 7 * i % people_count}, "", people_count});
  ASSERT_TRUE(write(batch));
  const std::string database = bytes_of(store_->path());
  ASSERT_EQ(bytes_of(store_->path() + "-wal"), "");
  for (const Record& record : batch) {
    const auto number = static_cast<int>(std::get<Person>(record).id);
    ASSERT_EQ(database.find(person(number).name), std::string::npos) << number;
  }
}

TEST_F(ErasureTest, of_a_photo_leaves_none_of_its_bytes_either) {
  std::string jpeg;
  for (int i = 0; i < 20'000; ++i) jpeg += "pixel " + std::to_string(i);
  ASSERT_TRUE(write(example_visit()));
  ASSERT_TRUE(write({example_photo(jpeg)}));
  // Within one page of the database: a long one is cut into pieces.
  ASSERT_THAT(files_with(jpeg.substr(2000, 500)), Not(IsEmpty()));
  ASSERT_TRUE(write({example_photo("")}));
  for (const std::size_t from : {2000U, 40'000U, 150'000U})
    EXPECT_THAT(files_with(jpeg.substr(from, 40)), IsEmpty()) << from;
}

TEST_F(ErasureTest, leaves_the_audit_chain_whole) {
  ASSERT_TRUE(write({person(1), AuditEntry{Utc(1), "P-1", "ticket.move", "T-000001-9", ""}}));
  const auto before = verify_audit(store_->path());
  ASSERT_TRUE(before) << before.error().line();
  ASSERT_TRUE(write({Person{PersonId{1}, "", 1}, AuditEntry{Utc(2), "P-1", "person.erase", "P-1", "asked"}}));
  const auto after = verify_audit(store_->path());
  ASSERT_TRUE(after) << after.error().line();
  EXPECT_EQ(after->rows, 2);
}

TEST_F(ErasureTest, waits_for_a_reader_of_before_and_then_empties_the_log) {
  ASSERT_TRUE(write({person(1)}));
  auto reader = Database::open(store_->path(), Database::Access::read_only).value();
  ASSERT_TRUE(reader.execute("BEGIN"));
  ASSERT_EQ(reader.integer("SELECT count(*) FROM person").value(), 1);
  ASSERT_TRUE(write({Person{PersonId{1}, "", 1}}));
  EXPECT_THAT(files_with(person(1).name), Not(IsEmpty())) << "the reader may still look at it";
  ASSERT_TRUE(reader.execute("COMMIT"));
  ASSERT_TRUE(write({example_audit()}));
  EXPECT_THAT(files_with(person(1).name), IsEmpty());
}

TEST_F(ErasureTest, is_not_undone_by_what_was_to_be_written_before_it) {
  ASSERT_TRUE(write({person(1)}));
  ASSERT_TRUE(write({Person{PersonId{1}, "", 7}}));
  ASSERT_TRUE(write({person(1)}));
  const StoredBench bench = store_->load().value();
  ASSERT_THAT(bench.people, SizeIs(1));
  EXPECT_TRUE(bench.people[0].is_erased());
  EXPECT_EQ(bench.people[0].codes_then, 7);
  EXPECT_THAT(files_with(person(1).name), IsEmpty());
}

TEST_F(ErasureTest, is_the_same_in_memory) {
  VirtualClock clock;
  MemoryStore memory(clock);
  const std::vector<Batch> batches{
      {person(1), person(2)}, {Person{PersonId{1}, "", 2}}, {person(1), person(3)}, {person(1)}};
  for (const Batch& batch : batches) {
    memory.write(batch, {});
    ASSERT_TRUE(clock.run_until([&] { return memory.backlog() == 0; }));
    ASSERT_TRUE(write(batch));
  }
  const auto text = [](const StoredBench& bench) {
    std::string all;
    for (const Person& each : bench.people)
      all += shown(each.id) + ' ' + each.name + ' ' + std::to_string(each.codes_then) + '\n';
    return all;
  };
  EXPECT_EQ(text(memory.load().value()), text(store_->load().value()));
  EXPECT_THAT(text(memory.load().value()), HasSubstr("P-1  2\n"));
  EXPECT_THAT(text(memory.everything().value()), HasSubstr("P-3 Somebody"));
}

/// A database of schema 9, as a bench without codes left it.
constexpr std::string_view of_before = R"sql(
  INSERT INTO meta (id, simulated) VALUES (1, 1);
  INSERT INTO battery VALUES (1, 'SN-1', 'efb', 6, NULL, NULL, NULL, NULL, NULL, NULL, '', '');
  INSERT INTO ticket (id, battery, complaint, sold_on, monitor_report, cracked, leaking, swollen, frozen,
    terminals_damaged, remarks, state, state_reason, place, received_at, state_since_at, asked_procedures,
    needs_recharge)
  VALUES (1, 1, 'stopped by the lights', '', '', 0, 0, 0, 0, 0, '', 'waiting',
    'charge ended: stopped by page: Anabel, unverified: smells', 'bay-1', 0, 0, '[]', 0);
  INSERT INTO run (id, ticket, place, procedure, procedure_version, procedure_hash, started_at, ended_at,
    outcome, end_reason)
  VALUES (1, 1, 'bay-1', 'charge', 1, 'ab', 0, 5, 'stopped', 'stopped by page: Anabel, unverified: smells');
  INSERT INTO consent VALUES (1, 'complete discharge', 'Zoe Owner', 'page: Ana, unverified', 3);
  INSERT INTO grade_override VALUES (1, 1, 'C', 'D', 'worn', 'a pump', '', 'withdrawn', 'ana',
    1, 'Bob (token counter)', 2);
  INSERT INTO place VALUES ('bay-1', 0, 'stop all by Anabel: smoke');
  INSERT INTO run_journal VALUES
    (1, '{"format":1,"started_by":"ANA","own":[1.5E0],"paused":"paused by ana: tea"}');
)sql";

class OlderDatabase : public ErasureTest {
 protected:
  void SetUp() override {
    {
      auto database = Database::open(database_path(folder_.path()), Database::Access::read_write);
      ASSERT_TRUE(migrate(*database, schema_steps().first(9), folder_.path() + "/backups"));
      const auto filled = database->execute(of_before);
      ASSERT_TRUE(filled) << filled.error().line();
      AuditHash hash{};
      std::int64_t row = 0;
      for (const char* actor : {"ana", "leadwrightd", "page: Anabel, unverified", "Anabel"}) {
        const AuditEntry entry{Utc(1), actor, "ticket.move", "T-000001-9", ""};
        hash = audit_hash(hash, ++row, entry);
        auto add = Statement::prepare(*database, "INSERT INTO audit VALUES (?, ?, ?, ?, ?, ?, ?)");
        const Bytes bytes(hash.begin(), hash.end());
        ASSERT_TRUE(add->run(row, entry.at.ns(), entry.actor, entry.what, entry.subject, entry.why, bytes));
        auto end = Statement::prepare(*database, "UPDATE meta SET audit_rows = ?, audit_hash = ?");
        ASSERT_TRUE(end->run(row, bytes));
      }
    }
    ErasureTest::SetUp();
  }
  std::string code_of(const std::string& name) const {
    const auto people = store_->load().value().people;
    const auto found = std::ranges::find(people, name, &Person::name);
    return found == people.end() ? "nobody" : shown(found->id);
  }
  std::string text(const char* sql) const {
    return Database::open(store_->path(), Database::Access::read_only)->text(sql).value();
  }
};

TEST_F(OlderDatabase, gets_codes_for_the_names_that_it_has_one_for_each_person) {
  const StoredBench bench = store_->load().value();
  EXPECT_THAT(bench.people, SizeIs(4)) << "ana, Anabel, the counter, Zoe Owner";
  const auto given = open_history(store_->path()).value()->visit(TicketId{1}).value();
  ASSERT_TRUE(given.runs.at(0).consent);
  EXPECT_EQ(given.runs[0].consent->given_by, code_of("Zoe Owner"));
  EXPECT_EQ(given.runs[0].consent->recorded_by, given.overrides.at(0).proposed_by) << "Ana and ana";
  EXPECT_EQ(given.overrides[0].settled_by, code_of("counter"));
}

TEST_F(OlderDatabase, says_codes_in_the_sentences_of_the_bench_and_leaves_those_of_people_alone) {
  const std::string anabel = "person " + code_of("Anabel");
  const StoredBench bench = store_->load().value();
  EXPECT_EQ(bench.tickets.at(0).state_reason, "charge ended: stopped by " + anabel + ": smells");
  EXPECT_EQ(bench.tickets[0].story.complaint, "stopped by the lights");
  EXPECT_EQ(bench.runs.at(0).end_reason, "stopped by " + anabel + ": smells");
  EXPECT_EQ(bench.places.at(0).latched_trip, "stop all by " + anabel + ": smoke");
  const std::string journal = text("SELECT journal FROM run_journal");
  EXPECT_THAT(journal, HasSubstr(R"("paused":"paused by person P-)"));
  EXPECT_THAT(journal, HasSubstr(R"("started_by":"P-)"));
  EXPECT_THAT(journal, HasSubstr("1.5E0"));
}

TEST_F(OlderDatabase, keeps_its_audit_as_it_was_and_a_copy_of_before) {
  const auto proof = verify_audit(store_->path());
  ASSERT_TRUE(proof) << proof.error().line();
  EXPECT_EQ(proof->rows, 4);
  EXPECT_EQ(text("SELECT group_concat(actor, '|') FROM audit ORDER BY id"),
            "ana|leadwrightd|page: Anabel, unverified|Anabel");
  EXPECT_THAT(files_with("Zoe Owner"), ::testing::Contains("leadwright-schema-9.sqlite"));
}

TEST_F(OlderDatabase, lets_a_name_that_its_audit_never_said_be_erased_from_every_byte) {
  const PersonId zoe = parse_person_id(code_of("Zoe Owner")).value();
  std::filesystem::remove_all(folder_.path() + "/backups");
  ASSERT_THAT(files_with("Zoe Owner"), Not(IsEmpty()));
  ASSERT_TRUE(write({Person{zoe, "", 4}}));
  EXPECT_THAT(files_with("Zoe Owner"), IsEmpty());
}

}  // namespace
}  // namespace leadwright
