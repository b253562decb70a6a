// SPDX-License-Identifier: Apache-2.0
#include "daemon/web/tokens.h"

#include "daemon/settings/log.h"

namespace leadwright {

namespace {

/// Each version of the file is put in place of the one before, never written over it.
bool is_same(const struct stat& one, const struct stat& other) {
  return one.st_ino == other.st_ino && one.st_size == other.st_size &&
         one.st_mtim.tv_sec == other.st_mtim.tv_sec && one.st_mtim.tv_nsec == other.st_mtim.tv_nsec;
}

}  // namespace

std::optional<Tokens::Holder> Tokens::holder(std::string_view token) {
  look();
  // How long a comparison takes tells something of the hash, from which nothing leads to a token.
  const std::string hash = token_hash(token);
  for (const StoredToken& each : tokens_) {
    if (each.hash == hash) return Holder{each.name, each.rank};
  }
  return std::nullopt;
}

void Tokens::look() {
  struct stat now {};
  if (::stat(token_path(folder_).c_str(), &now) != 0) now = {};
  if (is_same(now, read_)) return;
  read_ = now;
  tokens_.clear();
  auto read = read_tokens(folder_);
  if (read) {
    tokens_ = std::move(*read);
  } else {
    log_event(Level::error, "tokens.unreadable", {{"what", read.error().line()}});
  }
}

}  // namespace leadwright
