// SPDX-License-Identifier: Apache-2.0
#include "daemon/web/token_file.h"

#include <fcntl.h>
#include <sys/random.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdio>
#include <fstream>
#include <iterator>
#include <sstream>
#include <system_error>
#include <utility>

#include "daemon/battery/content_hash.h"

namespace leadwright {
namespace {

constexpr std::size_t name_length_max = 40;
constexpr std::size_t hash_length = 64;
constexpr std::size_t secret_bytes = 32;
constexpr std::string_view prefix = "lwt_";

bool is_token_name(std::string_view name) {
  constexpr std::string_view others = "._-";
  const auto fits = [&](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
           others.find(c) != std::string_view::npos;
  };
  return !name.empty() && name.size() <= name_length_max && std::ranges::all_of(name, fits);
}

/// Empty if the kernel gives no random bytes.
std::string random_token() {
  std::array<unsigned char, secret_bytes> secret{};
  if (::getrandom(secret.data(), secret.size(), 0) != static_cast<ssize_t>(secret.size())) return {};
  constexpr std::string_view hex = "0123456789abcdef";
  std::string text(prefix);
  for (const unsigned char byte : secret) text.append({hex[byte >> 4U], hex[byte & 15U]});
  return text;
}

tl::unexpected<Error> cannot_write(const std::string& path) {
  return fail(Errc::io, "can't write (" + std::generic_category().message(errno) + ")", path,
              "run this as the user of the daemon, or as root");
}

bool write_whole(int file, std::string_view text) {
  while (!text.empty()) {
    const auto count = ::write(file, text.data(), text.size());
    if (count <= 0) return false;
    text.remove_prefix(static_cast<std::size_t>(count));
  }
  return ::fsync(file) == 0;
}

/// Holds the name of the next version of the file, which nobody else can have meanwhile.
class NextFile {
 public:
  static Result<NextFile> take(const std::string& folder) {
    const std::string path = token_path(folder) + ".new";
    const int file = ::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, S_IRUSR | S_IWUSR);
    if (file >= 0) return NextFile(file, path);
    if (errno != EEXIST) return cannot_write(path);
    return fail(Errc::busy, "another program is writing the tokens", path,
                "try again; if no other is running, remove this file");
  }
  NextFile(NextFile&& other) noexcept
      : file_(std::exchange(other.file_, -1)), path_(std::move(other.path_)) {}
  NextFile& operator=(NextFile&&) = delete;
  ~NextFile() {
    if (file_ < 0) return;
    ::close(file_);
    ::unlink(path_.c_str());
  }

  /// In place of the old one, for the user whose folder it is.
  Result<void> put(const std::string& folder, const std::vector<StoredToken>& tokens) {
    std::string text;
    for (const StoredToken& token : tokens) {
      text.append(word(token.rank)).append(" ").append(token.hash).append(" ");
      text.append(token.created_at).append(" ").append(token.name).append("\n");
    }
    struct stat owner {};
    const bool is_done = write_whole(file_, text) && ::stat(folder.c_str(), &owner) == 0 &&
                         (::geteuid() != 0 || ::fchown(file_, owner.st_uid, owner.st_gid) == 0) &&
                         ::rename(path_.c_str(), token_path(folder).c_str()) == 0;
    if (!is_done) return cannot_write(path_);
    ::close(std::exchange(file_, -1));
    return {};
  }

 private:
  NextFile(int file, std::string path) : file_(file), path_(std::move(path)) {}
  int file_;
  std::string path_;
};

}  // namespace

std::string token_path(const std::string& state_folder) {
  return state_folder + "/tokens";
}

std::string token_hash(std::string_view token) {
  return content_hash(token);
}

Result<std::vector<StoredToken>> parse_tokens(std::string_view text, const std::string& where) {
  std::vector<StoredToken> tokens;
  std::istringstream lines{std::string(text)};
  int number = 0;
  for (std::string line; std::getline(lines, line);) {
    ++number;
    std::istringstream words(line);
    std::string rank;
    std::string rest;
    StoredToken token;
    words >> rank >> token.hash >> token.created_at >> token.name;
    const auto known = rank_of(rank);
    const bool is_hash = token.hash.size() == hash_length &&
                         token.hash.find_first_not_of("0123456789abcdef") == std::string::npos;
    if (!known || !is_hash || !is_token_name(token.name) || words >> rest) {
      return fail(Errc::garbled, "this line is no token", where + ":" + std::to_string(number),
                  "restore the file, or remove it and create the tokens anew");
    }
    token.rank = *known;
    tokens.push_back(std::move(token));
  }
  return tokens;
}

Result<std::vector<StoredToken>> read_tokens(const std::string& state_folder) {
  const std::string path = token_path(state_folder);
  std::ifstream file(path, std::ios::binary);
  if (!file) {
    if (errno == ENOENT) return std::vector<StoredToken>();
    return fail(Errc::io, "can't read (" + std::generic_category().message(errno) + ")", path,
                "run this as the user of the daemon");
  }
  const std::string text(std::istreambuf_iterator<char>(file), {});
  return parse_tokens(text, path);
}

Result<std::string> add_token(const std::string& state_folder, const std::string& name, Rank rank, Utc now) {
  if (!is_token_name(name)) {
    return fail(Errc::bad_input, "\"" + name + "\" is no name for a token", "name",
                "1 to 40 letters, digits, dots, - and _");
  }
  auto next = NextFile::take(state_folder);
  if (!next) return pass(next);
  auto tokens = read_tokens(state_folder);
  if (!tokens) return pass(tokens);
  if (std::ranges::find(*tokens, name, &StoredToken::name) != tokens->end()) {
    return fail(Errc::conflict, "there is a token of that name", name,
                "choose another, or revoke that one first");
  }
  std::string token = random_token();
  if (token.empty()) return fail(Errc::io, "the system gives no random bytes", name, "try again");
  tokens->push_back({rank, token_hash(token), now.rfc3339(), name});
  if (auto put = next->put(state_folder, *tokens); !put) return pass(put);
  return token;
}

Result<void> revoke_token(const std::string& state_folder, const std::string& name) {
  auto next = NextFile::take(state_folder);
  if (!next) return pass(next);
  auto tokens = read_tokens(state_folder);
  if (!tokens) return pass(tokens);
  if (std::erase_if(*tokens, [&name](const StoredToken& each) { return each.name == name; }) == 0) {
    return fail(Errc::not_found, "there is no token of that name", name, "leadwright token list shows them");
  }
  return next->put(state_folder, *tokens);
}

}  // namespace leadwright
