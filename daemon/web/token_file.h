// SPDX-License-Identifier: Apache-2.0
// The file of tokens in the state folder: who may ask the bench, with which rank. It holds hashes, so that
// reading it opens nothing; a token has 256 random bits, so that a fast hash is enough. Written by the
// client, read by the daemon. Blocks; any thread. Read next: tokens.h.
//
// One line a token: "operator 9f86d0... 2026-03-02T09:15:00Z counter". The name is last.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "daemon/clock/instant.h"
#include "daemon/web/rank.h"
#include "protocol/result.h"

namespace leadwright {

struct StoredToken {
  Rank rank = Rank::viewer;
  std::string hash;
  std::string created_at;  ///< RFC 3339
  std::string name;        ///< 1 to 40 letters, digits, ".", "_", "-"
};

std::string token_path(const std::string& state_folder);
std::string token_hash(std::string_view token);

/// Fails with garbled, naming the line.
Result<std::vector<StoredToken>> parse_tokens(std::string_view text, const std::string& where);
/// No file is no tokens. Fails with io, garbled.
Result<std::vector<StoredToken>> read_tokens(const std::string& state_folder);
/// A new token, which is told here and never again. Fails with bad_input for a name that is none, conflict
/// for one that is taken, busy while another program writes the file, io.
Result<std::string> add_token(const std::string& state_folder, const std::string& name, Rank rank, Utc now);
/// Fails with not_found, busy, io.
Result<void> revoke_token(const std::string& state_folder, const std::string& name);

}  // namespace leadwright
