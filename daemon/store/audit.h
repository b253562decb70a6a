// SPDX-License-Identifier: Apache-2.0
// The audit chain: each row's hash covers the row and the hash before it, so that a changed, removed, added
// or swapped row is found. It proves that nobody changed single rows by hand; who can rewrite the whole file
// can rewrite the whole chain. Any thread.
//
// hash = BLAKE2b-256(hash of the row before, 32 zero bytes before the first || canonical text)
// canonical text = "leadwright-audit-1" and then number, at (ns), actor, what, subject, why, each as
// LENGTH:BYTES, with the length in bytes as decimal digits, e.g. "1:1" for row number 1.
#pragma once

#include <array>
#include <cstdint>
#include <string>

#include "daemon/battery/ticket.h"

namespace leadwright {

using AuditHash = std::array<unsigned char, 32>;

/// `number` is the row's id: 1, 2, 3, ...
AuditHash audit_hash(const AuditHash& previous, std::int64_t number, const AuditEntry& entry);

struct AuditProof {
  std::int64_t rows = 0;
  std::string hash;  ///< hex, of the last row; 64 zeros for an empty chain
};

/// Reads the whole chain of a database, read-only. Fails with not_verified naming the first row that does not
/// fit, or with io or bad_input if the file can't be read.
Result<AuditProof> verify_audit(const std::string& path);

}  // namespace leadwright
