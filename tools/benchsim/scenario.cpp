// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/scenario.h"

#include <boost/json.hpp>
#include <filesystem>
#include <set>
#include <utility>

#include "protocol/toml_reader.h"

namespace leadwright {

namespace json = boost::json;
namespace fs = std::filesystem;

namespace {

void copy_texts(const TomlTable& from, json::object& to, std::initializer_list<const char*> keys) {
  for (const char* key : keys) {
    if (const auto text = from.string(key)) to[key] = *text;
  }
}

void copy_numbers(const TomlTable& from, json::object& to, std::initializer_list<const char*> keys) {
  for (const char* key : keys) {
    if (const auto number = from.number(key)) to[key] = *number;
  }
}

json::object story_of(const TomlTable& battery) {
  json::object story;
  if (const auto table = battery.table("story")) {
    copy_texts(*table, story, {"complaint", "sold_on", "monitor_report"});
  }
  return story;
}

json::object inspection_of(const TomlTable& battery) {
  json::object inspection;
  if (const auto table = battery.table("inspection")) {
    for (const char* key : {"cracked", "leaking", "swollen", "frozen", "terminals_damaged"}) {
      if (const auto flag = table->boolean(key)) inspection[key] = *flag;
    }
    copy_texts(*table, inspection, {"remarks"});
  }
  return inspection;
}

ScenarioBattery read_battery(const TomlTable& table, const fs::path& folder) {
  ScenarioBattery battery;
  battery.what = table.need_string("what");
  battery.simulated = table.need_string("simulated");
  constexpr std::string_view replay = "replay:";
  if (battery.simulated.starts_with(replay)) {
    const fs::path file = folder / battery.simulated.substr(replay.size());
    battery.simulated = std::string(replay) + fs::weakly_canonical(file).string();
  }
  battery.ends_at_grade = table.boolean("ends_at_grade").value_or(false);
  const TomlTable label = table.need_table("label");
  battery.serial = label.need_string("serial");
  battery.cells = static_cast<int>(label.need_integer("cells"));
  json::object plate{{"serial", battery.serial}, {"cells", battery.cells}};
  copy_texts(label, plate,
             {"chemistry", "cca_standard", "reserve_capacity_standard", "c20_standard", "size_code",
              "manufactured_on"});
  copy_numbers(label, plate, {"cca_a", "reserve_capacity_min", "c20_ah"});
  json::object body{{"battery", std::move(plate)}};
  if (json::object story = story_of(table); !story.empty()) body["story"] = std::move(story);
  if (json::object seen = inspection_of(table); !seen.empty()) body["inspection"] = std::move(seen);
  if (const auto asked = table.strings("procedures"); !asked.empty()) {
    body["procedures"] = json::array(asked.begin(), asked.end());
  }
  battery.drop_off = json::serialize(body);
  return battery;
}

}  // namespace

tl::expected<std::vector<ScenarioBattery>, std::vector<Error>> load_scenario(const std::string& path) {
  TomlDocument document = TomlDocument::load(path);
  std::vector<ScenarioBattery> batteries;
  std::set<std::string> serials;
  for (const TomlTable& table : document.root().tables("battery")) {
    batteries.push_back(read_battery(table, fs::absolute(path).parent_path()));
    if (!serials.insert(batteries.back().serial).second) {
      table.error("label", "two batteries with the serial " + batteries.back().serial, "give each its own");
    }
  }
  document.finish();
  std::vector<Error> errors = document.errors();
  if (errors.empty() && batteries.empty()) {
    errors.push_back({Errc::bad_input, "no [[battery]] in the scenario", path, "describe at least one"});
  }
  if (!errors.empty()) return tl::unexpected<std::vector<Error>>(std::move(errors));
  return batteries;
}

}  // namespace leadwright
