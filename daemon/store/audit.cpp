// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/audit.h"

#include <sodium.h>

#include <algorithm>

#include "daemon/store/database.h"

namespace leadwright {

namespace {

void add_field(std::string& text, std::string_view field) {
  text += std::to_string(field.size());
  text += ':';
  text += field;
}

std::string canonical(std::int64_t number, const AuditEntry& entry) {
  std::string text = "leadwright-audit-1";
  add_field(text, std::to_string(number));
  add_field(text, std::to_string(entry.at.ns()));
  add_field(text, entry.actor);
  add_field(text, entry.what);
  add_field(text, entry.subject);
  add_field(text, entry.why);
  return text;
}

std::string hex(const AuditHash& hash) {
  static constexpr char digits[] = "0123456789abcdef";
  std::string text;
  for (const unsigned char byte : hash) {
    text += digits[byte >> 4];
    text += digits[byte & 15];
  }
  return text;
}

bool same(const AuditHash& hash, const Bytes& stored) {
  return std::equal(hash.begin(), hash.end(), stored.begin(), stored.end());
}

tl::unexpected<Error> broken(const std::string& path, std::int64_t number, const char* what) {
  return fail(Errc::not_verified, "audit row " + std::to_string(number) + " " + what, path,
              "keep the file as evidence and compare it with the newest backup");
}

}  // namespace

AuditHash audit_hash(const AuditHash& previous, std::int64_t number, const AuditEntry& entry) {
  const std::string text = canonical(number, entry);
  AuditHash hash{};
  crypto_generichash_state state;
  crypto_generichash_init(&state, nullptr, 0, hash.size());
  crypto_generichash_update(&state, previous.data(), previous.size());
  crypto_generichash_update(&state, reinterpret_cast<const unsigned char*>(text.data()), text.size());
  crypto_generichash_final(&state, hash.data(), hash.size());
  return hash;
}

Result<AuditProof> verify_audit(const std::string& path) {
  auto database = Database::open(path, Database::Access::read_only);
  if (!database) return pass(database);
  // One snapshot for the rows and for the end of the chain.
  const auto begun = database->execute("BEGIN");
  if (!begun) return tl::unexpected<Error>(begun.error());
  auto rows =
      Statement::prepare(*database, "SELECT id, at, actor, what, subject, why, hash FROM audit ORDER BY id");
  if (!rows) return pass(rows);
  AuditHash hash{};
  std::int64_t number = 0;
  for (;;) {
    const auto more = rows->next();
    if (!more) return tl::unexpected<Error>(more.error());
    if (!*more) break;
    ++number;
    if (rows->integer(0) != number) return broken(path, number, "is missing");
    const AuditEntry entry{Utc(rows->integer(1)), rows->text(2), rows->text(3), rows->text(4), rows->text(5)};
    hash = audit_hash(hash, number, entry);
    if (!same(hash, rows->blob(6))) return broken(path, number, "does not fit the chain");
  }
  auto meta = Statement::prepare(*database, "SELECT audit_rows, audit_hash FROM meta");
  if (!meta) return pass(meta);
  const auto found = meta->next();
  if (!found) return tl::unexpected<Error>(found.error());
  if (!*found) return broken(path, number + 1, "can't be proved: the end of the chain is missing");
  if (meta->integer(0) > number) return broken(path, number + 1, "is missing");
  if (meta->integer(0) != number || !same(hash, meta->blob(1)))
    return broken(path, number, "is not the stored end");
  return AuditProof{number, hex(hash)};
}

}  // namespace leadwright
