// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/history.h"

#include "daemon/store/records.h"
#include "daemon/store/schema.h"

namespace leadwright {

namespace {

class SqliteHistory final : public History {
 public:
  explicit SqliteHistory(Database database) : database_(std::move(database)) {}

  Result<std::vector<Sample>> trace(RunId run) override { return load_trace(database_, run); }

  Result<bool> has_run(RunId run) override {
    auto rows = Statement::prepare(database_, "SELECT 1 FROM run WHERE id = ?");
    if (!rows) return pass(rows);
    rows->bind_all(static_cast<std::int64_t>(run));
    return rows->next();
  }

  Result<std::string> photo(PhotoId id) override { return load_photo(database_, id); }

  Result<std::vector<AuditEntry>> audit_of(const std::string& subject) override {
    auto rows = Statement::prepare(
        database_, "SELECT at, actor, what, subject, why FROM audit WHERE subject = ? ORDER BY id");
    if (!rows) return pass(rows);
    rows->bind_all(subject);
    std::vector<AuditEntry> entries;
    for (;;) {
      const auto more = rows->next();
      if (!more) return tl::unexpected<Error>(more.error());
      if (!*more) return entries;
      entries.push_back({Utc(rows->integer(0)), rows->text(1), rows->text(2), rows->text(3), rows->text(4)});
    }
  }

  Result<std::vector<Ticket>> closed_tickets(int count) override {
    return load_tickets(database_, "WHERE state = 'closed' ORDER BY id DESC LIMIT ?", count);
  }

  Result<StoredBench> visit(TicketId id) override { return load_visit(database_, id); }

  Result<StoredBench> everything() override { return load_bench(database_, RunsOf::all_tickets); }

 private:
  Database database_;
};

}  // namespace

Result<std::unique_ptr<History>> open_history(const std::string& path) {
  auto database = Database::open(path, Database::Access::read_only);
  if (!database) return pass(database);
  const auto version = database->integer("PRAGMA user_version");
  if (!version) return tl::unexpected<Error>(version.error());
  const int known = schema_steps().back().version;
  if (*version < known) {
    return fail(Errc::unsupported,
                "the database has schema " + std::to_string(*version) + ", older than this version's " +
                    std::to_string(known),
                path,
                "start this version's leadwrightd on it once: it keeps a backup and brings it up to date");
  }
  const auto readable = refuse_newer(*database, static_cast<int>(*version), known);
  if (!readable) return tl::unexpected<Error>(readable.error());
  return std::make_unique<SqliteHistory>(std::move(*database));
}

}  // namespace leadwright
