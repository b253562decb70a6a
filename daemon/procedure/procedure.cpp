// SPDX-License-Identifier: Apache-2.0
#include "daemon/procedure/procedure.h"
#include "protocol/text_file.h"

#include <algorithm>
#include <filesystem>
#include <iterator>
#include <map>
#include <utility>

namespace leadwright {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t files_max = 500;

Result<std::vector<fs::path>> files_of(const std::string& folder) {
  std::vector<fs::path> files;
  std::error_code bad;
  for (fs::directory_iterator entry(folder, bad), end; !bad && entry != end; entry.increment(bad)) {
    if (entry->path().extension() == ".toml") files.push_back(entry->path());
    if (files.size() > files_max) return fail(Errc::bad_input, "more than 500 procedures", folder);
  }
  if (bad) return fail(Errc::io, "the folder can't be read: " + bad.message(), folder, "check the path");
  std::sort(files.begin(), files.end());
  return files;
}

}  // namespace

const char* word(StepKind kind) {
  switch (kind) {
    case StepKind::rest:
      return "rest";
    case StepKind::draw:
      return "draw";
    case StepKind::charge:
      return "charge";
    case StepKind::measure:
      return "measure";
    case StepKind::state:
      return "state";
  }
  return "?";
}

tl::expected<std::vector<Procedure>, std::vector<Error>> load_procedures(const std::string& folder) {
  auto files = files_of(folder);
  if (!files) return tl::unexpected(std::vector<Error>{std::move(files.error())});
  std::vector<Error> errors;
  std::map<std::pair<std::string, int>, Procedure> by_name;
  for (const fs::path& file : *files) {
    auto text = read_text_file(file.string());
    if (!text) {
      errors.push_back(std::move(text.error()));
      continue;
    }
    auto procedure = read_procedure(*text, file.string());
    if (!procedure) {
      errors.insert(errors.end(), procedure.error().begin(), procedure.error().end());
      continue;
    }
    const std::pair key(procedure->name, procedure->version);
    const auto [place, is_new] = by_name.try_emplace(key, std::move(*procedure));
    if (!is_new) {
      errors.push_back(Error{
          Errc::bad_input,
          "\"" + key.first + "\" version " + std::to_string(key.second) + " is also in " + place->second.file,
          file.string(), "give it another name or version"});
    }
  }
  if (!errors.empty()) return tl::unexpected(std::move(errors));
  std::vector<Procedure> procedures;
  procedures.reserve(by_name.size());
  for (auto& [key, procedure] : by_name) procedures.push_back(std::move(procedure));
  return procedures;
}

}  // namespace leadwright
