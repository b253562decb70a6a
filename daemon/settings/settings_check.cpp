// SPDX-License-Identifier: Apache-2.0
#include "daemon/settings/settings_check.h"

#include <algorithm>
#include <filesystem>
#include <map>
#include <set>

#include "protocol/toml_reader.h"

namespace leadwright {

namespace {

namespace fs = std::filesystem;

std::vector<std::string> profile_names(const std::string& folder) {
  std::vector<std::string> names;
  std::error_code failed;
  for (const auto& entry : fs::directory_iterator(folder, failed)) {
    if (entry.path().extension() == ".toml") names.push_back(entry.path().stem().string());
  }
  std::sort(names.begin(), names.end());
  return names;
}

class Check {
 public:
  Check(Settings& settings, std::vector<Error>& errors) : settings_(settings), errors_(errors) {}

  void folder(const std::string& path, const std::string& where, const char* what) {
    std::error_code failed;
    if (!fs::is_directory(path, failed)) error(std::string("no such folder of ") + what + ": " + path, where);
  }
  void file(const std::string& path, const std::string& where, const char* what) {
    std::error_code failed;
    if (!fs::is_regular_file(path, failed)) error(std::string("no such ") + what + ": " + path, where);
  }
  void instrument(std::optional<InstrumentSettings>& wanted, const std::string& user) {
    if (wanted) instrument(*wanted, user);
  }
  void instrument(InstrumentSettings& wanted, const std::string& user) {
    const auto [begin, end] = users_.equal_range(wanted.link);
    for (auto other = begin; other != end; ++other) {
      const bool are_apart = wanted.unit && other->second.unit && wanted.unit != other->second.unit;
      if (are_apart) continue;
      errors_.push_back({Errc::bad_input, wanted.link + " is also the link of " + other->second.name,
                         wanted.where,
                         "give each instrument a link of its own, or each Modbus unit its `unit`"});
      break;
    }
    users_.emplace(wanted.link, User{user, wanted.unit});
    profile(wanted);
  }

  /// Names of boxes and shared instruments, and that no output does two things.
  void wiring() {
    for (const BoxSettings& box : settings_.boxes) {
      name(box.name, box.instrument.where);
      if (box.siren) output({box.name, *box.siren, std::nullopt, box.instrument.where});
    }
    for (const SharedSettings& shared : settings_.shared) name(shared.name, shared.instrument.where);
    for (const PlaceSettings& place : settings_.places) {
      if (place.isolator) output(*place.isolator);
      for (const auto* way : {&place.shared_load, &place.shared_charger}) {
        if (!*way) continue;
        output((*way)->contact);
        const auto is_meant = [way](const SharedSettings& shared) { return shared.name == (*way)->shared; };
        if (std::ranges::any_of(settings_.shared, is_meant)) continue;
        errors_.push_back({Errc::bad_input, "there is no shared instrument \"" + (*way)->shared + "\"",
                           (*way)->contact.where, "add a [[shared]] table of that name"});
      }
    }
  }

 private:
  void name(const std::string& name, const std::string& where) {
    const auto is_place = [&name](const PlaceSettings& place) { return place.name == name; };
    if (names_.insert(name).second && std::ranges::none_of(settings_.places, is_place)) return;
    errors_.push_back({Errc::bad_input, "another thing of the bench is called \"" + name + "\"", where,
                       "give each place, box and shared instrument its own name"});
  }
  void output(const ContactSettings& contact) {
    const auto is_meant = [&contact](const BoxSettings& box) { return box.name == contact.box; };
    if (std::ranges::none_of(settings_.boxes, is_meant)) {
      errors_.push_back({Errc::bad_input, "there is no box \"" + contact.box + "\"", contact.where,
                         "add a [[box]] table of that name"});
      return;
    }
    if (outputs_.insert({contact.box, contact.output}).second) return;
    errors_.push_back(
        {Errc::bad_input,
         contact.box + " output " + std::to_string(contact.output) + " does something else already",
         contact.where, "give each contact an output of its own"});
  }
  void profile(InstrumentSettings& instrument) {
    if (instrument.profile.find('/') != std::string::npos)
      return file(instrument.profile, instrument.where, "profile");
    const std::string name =
        std::exchange(instrument.profile, settings_.profiles_folder + "/" + instrument.profile + ".toml");
    std::error_code failed;
    if (fs::is_regular_file(instrument.profile, failed)) return;
    const std::string near = near_match(name, profile_names(settings_.profiles_folder));
    errors_.push_back(
        {Errc::bad_input, "no profile `" + name + "` in " + settings_.profiles_folder, instrument.where,
         near.empty() ? "see the files there, or write a profile" : "did you mean `" + near + "`?"});
  }
  void error(std::string what, const std::string& where) {
    errors_.push_back(
        {Errc::bad_input, std::move(what), where, "correct the path; it is relative to this file"});
  }

  Settings& settings_;
  std::vector<Error>& errors_;
  struct User {
    std::string name;
    std::optional<int> unit;
  };
  std::multimap<std::string, User> users_;  // by link
  std::set<std::string> names_;
  std::set<std::pair<std::string, int>> outputs_;
};

}  // namespace

void check_settings(Settings& settings, const Origins& origins, std::vector<Error>& errors) {
  Check check(settings, errors);
  check.file(settings.policy_file, origins.policy_file, "policy");
  if (!settings.parts_file.empty()) check.file(settings.parts_file, origins.parts_file, "list of parts");
  check.file(settings.estimator_file, origins.estimator_file, "estimator settings");
  check.folder(settings.procedures_folder, origins.procedures_folder, "procedures");
  check.folder(settings.profiles_folder, origins.profiles_folder, "profiles");
  if (settings.bench_time)
    check.file(*settings.bench_time, origins.bench_time, "time file of a simulated bench");
  for (PlaceSettings& place : settings.places) {
    check.instrument(place.load, place.name + ".load");
    check.instrument(place.charger, place.name + ".charger");
    check.instrument(place.thermometer, place.name + ".thermometer");
    check.instrument(place.two_quadrant, place.name + ".two_quadrant");
  }
  for (BoxSettings& box : settings.boxes) check.instrument(box.instrument, box.name);
  for (SharedSettings& shared : settings.shared) check.instrument(shared.instrument, shared.name);
  check.wiring();
  if (settings.places.empty()) {
    errors.push_back({Errc::bad_input, "the bench has no place", settings.files.back(),
                      "add [[place]] tables; config/leadwright.toml shows how"});
  }
}

}  // namespace leadwright
