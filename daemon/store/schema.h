// SPDX-License-Identifier: Apache-2.0
// The database's schemas, embedded from schema/NNN.sql at build time, and how an older database moves
// forward.
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "daemon/store/database.h"

namespace leadwright {

/// Brings a database from the schema before `version` to `version`. Versions are 1, 2, 3, ...
struct SchemaStep {
  int version = 0;
  std::string_view sql;
};

/// Every released schema, oldest first.
std::span<const SchemaStep> schema_steps();

/// Fails with unsupported for a database whose schema is newer than the latest that this program knows.
Result<void> refuse_newer(const Database& database, int version, int latest);

/// Applies the steps that the database lacks, each in its own transaction. Before the first step on a
/// database that already has one, a copy goes to `backup_folder`/leadwright-schema-N.sqlite (-2, -3, ... if
/// taken). Fails with unsupported for a newer schema and with bad_input for a file that is not ours; both
/// unchanged.
Result<void> migrate(Database& database, std::span<const SchemaStep> steps, const std::string& backup_folder);

}  // namespace leadwright
