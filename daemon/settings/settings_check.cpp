// SPDX-License-Identifier: Apache-2.0
#include "daemon/settings/settings_check.h"

#include <algorithm>
#include <filesystem>
#include <map>

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
  void instrument(std::optional<InstrumentSettings>& instrument, const std::string& user) {
    if (!instrument) return;
    const auto [begin, end] = users_.equal_range(instrument->link);
    for (auto other = begin; other != end; ++other) {
      const bool are_apart = instrument->unit && other->second.unit && instrument->unit != other->second.unit;
      if (are_apart) continue;
      errors_.push_back({Errc::bad_input, instrument->link + " is also the link of " + other->second.name,
                         instrument->where,
                         "give each instrument a link of its own, or each Modbus unit its `unit`"});
      break;
    }
    users_.emplace(instrument->link, User{user, instrument->unit});
    profile(*instrument);
  }

 private:
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
};

}  // namespace

void check_settings(Settings& settings, const Origins& origins, std::vector<Error>& errors) {
  Check check(settings, errors);
  check.file(settings.policy_file, origins.policy_file, "policy");
  check.file(settings.estimator_file, origins.estimator_file, "estimator settings");
  check.folder(settings.procedures_folder, origins.procedures_folder, "procedures");
  check.folder(settings.profiles_folder, origins.profiles_folder, "profiles");
  if (settings.bench_time)
    check.file(*settings.bench_time, origins.bench_time, "time file of a simulated bench");
  for (PlaceSettings& place : settings.places) {
    check.instrument(place.load, place.name + ".load");
    check.instrument(place.charger, place.name + ".charger");
    check.instrument(place.thermometer, place.name + ".thermometer");
  }
  if (settings.places.empty()) {
    errors.push_back({Errc::bad_input, "the bench has no place", settings.files.back(),
                      "add [[place]] tables; config/leadwright.toml shows how"});
  }
}

}  // namespace leadwright
