// SPDX-License-Identifier: Apache-2.0
#include "daemon/procedure/procedure.h"

#include <algorithm>
#include <filesystem>
#include <iterator>
#include <map>
#include <utility>

#include "daemon/procedure/proof.h"
#include "protocol/text_file.h"

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

bool any_step_draws(const Procedure& procedure) {
  return std::ranges::any_of(procedure.steps, [](const Step& step) { return draws(step.kind); });
}

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
    case StepKind::pulse:
      return "pulse";
    case StepKind::ask:
      return "ask";
    case StepKind::call:
      return "call";
    case StepKind::decide:
      return "decide";
    case StepKind::state:
      return "state";
  }
  return "?";
}

const char* word(AnswerKind kind) {
  switch (kind) {
    case AnswerKind::yes_or_no:
      return "yes or no";
    case AnswerKind::number:
      return "number";
    case AnswerKind::choice:
      return "choice";
    case AnswerKind::text:
      return "text";
  }
  return "?";
}

void take_instead(Step& step) {
  Instead instead = std::move(*step.instead);
  step.instead.reset();
  step.amps = std::move(instead.amps);
  step.watts.reset();
  step.ohms.reset();
  step.amps_max.reset();
  if (instead.cutoff) step.cutoff = std::move(instead.cutoff);
  if (instead.ends_at) step.ends_at = std::move(instead.ends_at);
  if (instead.at_most) step.at_most = std::move(instead.at_most);
}

tl::expected<Procedure, std::vector<Error>> load_procedure(const std::string& file) {
  auto text = read_text_file(file);
  if (!text) return tl::unexpected(std::vector<Error>{std::move(text.error())});
  auto procedure = read_procedure(*text, file);
  if (!procedure) return procedure;
  std::vector<Procedure> known;
  const fs::path folder = fs::path(file).parent_path();
  const auto neighbours = files_of(folder.empty() ? "." : folder.string());
  for (const fs::path& other : neighbours ? *neighbours : std::vector<fs::path>{}) {
    const auto other_text = read_text_file(other.string());
    // A neighbour with mistakes of its own is found out when it is checked, or missed when it is called.
    auto other_procedure = other_text ? read_procedure(*other_text, other.string())
                                      : tl::unexpected(std::vector<Error>{other_text.error()});
    if (other_procedure) known.push_back(std::move(*other_procedure));
  }
  auto whole = link_calls(*procedure, known);
  if (!whole) return tl::unexpected(std::vector<Error>{std::move(whole.error())});
  std::vector<Error> doubts = unproved(*whole);
  if (!doubts.empty()) return tl::unexpected(std::move(doubts));
  return std::move(*whole);
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
  std::vector<Procedure> linked;
  linked.reserve(procedures.size());
  for (const Procedure& procedure : procedures) {
    auto whole = link_calls(procedure, procedures);
    if (!whole) {
      errors.push_back(std::move(whole.error()));
      continue;
    }
    std::vector<Error> doubts = unproved(*whole);
    errors.insert(errors.end(), std::make_move_iterator(doubts.begin()),
                  std::make_move_iterator(doubts.end()));
    linked.push_back(std::move(*whole));
  }
  if (!errors.empty()) return tl::unexpected(std::move(errors));
  return linked;
}

}  // namespace leadwright
