// SPDX-License-Identifier: Apache-2.0
#include "daemon/settings/settings.h"

#include <algorithm>
#include <filesystem>
#include <set>

#include "daemon/settings/precautions_reader.h"
#include "daemon/settings/settings_check.h"
#include "daemon/settings/web_reader.h"
#include "daemon/settings/wiring_reader.h"
#include "protocol/toml_reader.h"

namespace leadwright {

namespace {

namespace fs = std::filesystem;

constexpr std::size_t prefix_bytes_max = 8;
constexpr std::int64_t queue_batches_lowest = 16;
constexpr std::int64_t queue_batches_highest = 65'536;

bool is_letter_or_digit(char c) {
  return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z');
}

/// Reads files over each other into one result; the last one wins.
class Reader {
 public:
  void read(const std::string& path) {
    folder_ = fs::path(path).parent_path().string();
    if (settings_.files.empty()) set_defaults(path);
    settings_.files.push_back(path);
    TomlDocument document = TomlDocument::load(path);
    const TomlTable& root = document.root();
    if (const auto bench = root.table("bench")) read_bench(*bench);
    if (const auto alarm = root.table("alarm")) read_alarm(*alarm, settings_.alarm);
    if (const auto weight = root.table("weight")) read_weight(*weight, settings_.precautions.weight);
    if (const auto certificate = root.table("certificate")) read_certificate(*certificate);
    if (const auto web = root.table("web")) read_web(*web, settings_);
    if (const auto store = root.table("store")) read_store(*store);
    if (const auto policy = root.table("policy"))
      read_path(*policy, "file", settings_.policy_file, origins_.policy_file);
    if (const auto parts = root.table("parts"))
      read_path(*parts, "file", settings_.parts_file, origins_.parts_file);
    if (const auto estimator = root.table("estimator"))
      read_path(*estimator, "file", settings_.estimator_file, origins_.estimator_file);
    if (const auto folders = root.table("folders")) {
      read_path(*folders, "procedures", settings_.procedures_folder, origins_.procedures_folder);
      read_path(*folders, "profiles", settings_.profiles_folder, origins_.profiles_folder);
    }
    read_places(root);
    for (const TomlTable& table : root.tables("box"))
      replace_named(settings_.boxes, read_box(table, folder_));
    for (const TomlTable& table : root.tables("shared")) {
      replace_named(settings_.shared, read_shared(table, folder_));
    }
    document.finish();
    errors_.insert(errors_.end(), document.errors().begin(), document.errors().end());
  }

  tl::expected<Settings, std::vector<Error>> finish() {
    // What does not exist is only worth saying of a configuration that could be read.
    if (errors_.empty()) check_settings(settings_, origins_, errors_);
    if (!errors_.empty()) return tl::unexpected<std::vector<Error>>(std::move(errors_));
    return std::move(settings_);
  }

 private:
  /// As places do: the last file wins. Two of one name in one file are found by check_settings.
  template <class Named>
  void replace_named(std::vector<Named>& all, Named one) {
    const auto same = std::ranges::find_if(all, [&](const Named& other) {
      return other.name == one.name && other.instrument.where.rfind(settings_.files.back(), 0) != 0;
    });
    if (same == all.end()) {
      all.push_back(std::move(one));
    } else {
      *same = std::move(one);
    }
  }

  std::string resolved(const std::string& path) const {
    return folder_.empty() ? path : (fs::path(folder_) / path).lexically_normal().string();
  }

  void set_defaults(const std::string& path) {
    settings_.policy_file = resolved("policies/bench.toml");
    settings_.estimator_file = resolved("estimator.toml");
    settings_.procedures_folder = resolved("procedures");
    settings_.profiles_folder = resolved("profiles");
    origins_ = {path, path, path, path, path, path};
  }

  void read_path(const TomlTable& table, const char* key, std::string& into, std::string& origin) {
    const auto path = table.string(key);
    if (!path) return;
    if (path->empty()) table.error(key, "an empty path", "name a file or folder, or leave the key out");
    into = resolved(*path);
    origin = table.where(key);
  }

  void read_bench(const TomlTable& bench) {
    read_precautions(bench, settings_.precautions);
    if (const auto name = bench.string("name")) settings_.bench_name = *name;
    if (const auto prefix = bench.string("prefix")) {
      settings_.bench_prefix = *prefix;
      if (prefix->size() > prefix_bytes_max ||
          !std::all_of(prefix->begin(), prefix->end(), is_letter_or_digit)) {
        bench.error("prefix", "not a prefix for ticket numbers", "up to 8 letters and digits");
      }
    }
    if (const auto time = bench.string("time")) {
      settings_.bench_time.reset();
      if (*time != "real") settings_.bench_time = resolved(*time);
      origins_.bench_time = bench.where("time");
    }
  }

  void read_certificate(const TomlTable& certificate) {
    const auto paper = certificate.string("paper");
    if (!paper) return;
    if (*paper != "a4" && *paper != "letter")
      certificate.error("paper", "no such paper: \"" + *paper + "\"", "a4 or letter");
    settings_.paper = *paper;
  }

  void read_store(const TomlTable& store) {
    const auto count = store.integer("queue_batches_max");
    if (!count) return;
    if (*count < queue_batches_lowest || *count > queue_batches_highest) {
      store.error("queue_batches_max", "outside what makes sense", "16 to 65536");
    }
    settings_.queue_batches_max = static_cast<std::size_t>(std::max<std::int64_t>(*count, 1));
  }

  void read_places(const TomlTable& root) {
    std::set<std::string> names;
    for (const TomlTable& table : root.tables("place")) {
      PlaceSettings place = read_place(table);
      if (!names.insert(place.name).second) {
        table.error("name", "a second place is called \"" + place.name + "\"",
                    "give each place its own name");
      }
      const auto same = [&](const PlaceSettings& other) { return other.name == place.name; };
      const auto earlier = std::find_if(settings_.places.begin(), settings_.places.end(), same);
      if (earlier == settings_.places.end()) {
        settings_.places.push_back(std::move(place));
      } else {
        *earlier = std::move(place);
      }
    }
  }

  PlaceSettings read_place(const TomlTable& table) {
    PlaceSettings place;
    place.where = table.where();
    place.name = read_name(table, "a place");
    place.kind = read_kind(table);
    read_load_or_charger(table, "load", folder_, place.load, place.shared_load);
    read_load_or_charger(table, "charger", folder_, place.charger, place.shared_charger);
    if (const auto thermometer = table.table("thermometer")) {
      place.thermometer = read_instrument(*thermometer, folder_);
    }
    if (const auto both = table.table("two_quadrant")) place.two_quadrant = read_instrument(*both, folder_);
    if (const auto isolator = table.table("isolator")) place.isolator = read_contact(*isolator);
    place.attended_only = table.boolean("attended_only").value_or(true);
    check_instruments(table, place);
    return place;
  }

  static PlaceKind read_kind(const TomlTable& table) {
    const std::string kind = table.need_string("kind");
    if (const auto known = place_kind_of(kind)) return *known;
    if (table.has("kind")) {
      const std::string near = near_match(kind, {"bay", "charging", "shelf"});
      table.error("kind", "unknown kind of place \"" + kind + "\"",
                  near.empty() ? "\"bay\", \"charging\" or \"shelf\"" : "did you mean \"" + near + "\"?");
    }
    return PlaceKind::shelf;
  }

  static void check_instruments(const TomlTable& table, const PlaceSettings& place) {
    if (!place_kind_of(table.string("kind").value_or(""))) return;
    const bool has_load = place.load || place.shared_load || place.two_quadrant;
    const bool has_charger = place.charger || place.shared_charger || place.two_quadrant;
    const bool has_any = has_load || has_charger || place.thermometer || place.isolator;
    if (place.kind == PlaceKind::bay && !has_load) {
      table.error("", "a bay needs a load", "add load = { profile = \"...\", link = \"...\" }");
    }
    if (place.kind == PlaceKind::charging && !has_charger) {
      table.error("", "a charging place needs a charger",
                  "add charger = { profile = \"...\", link = \"...\" }");
    }
    if (place.two_quadrant && (place.load || place.shared_load || place.charger || place.shared_charger)) {
      table.error("two_quadrant", "it is load and charger of the place already",
                  "take out load and charger, or this");
    }
    if (place.kind == PlaceKind::charging && has_load) {
      table.error("load", "a charging place has no load", "call it a bay, or take the load out");
    }
    if (place.kind == PlaceKind::shelf && has_any) {
      table.error("", "a shelf has no instruments", "call it a charging place or a bay");
    }
  }

  std::string folder_;
  Settings settings_;
  Origins origins_;
  std::vector<Error> errors_;
};

}  // namespace

const char* word(PlaceKind kind) {
  switch (kind) {
    case PlaceKind::shelf:
      return "shelf";
    case PlaceKind::charging:
      return "charging";
    case PlaceKind::bay:
      return "bay";
  }
  return "shelf";
}

std::optional<PlaceKind> place_kind_of(std::string_view text) {
  for (const PlaceKind kind : {PlaceKind::shelf, PlaceKind::charging, PlaceKind::bay}) {
    if (text == word(kind)) return kind;
  }
  return std::nullopt;
}

tl::expected<Settings, std::vector<Error>> read_settings(const std::string& path) {
  Reader reader;
  reader.read(path);
  return reader.finish();
}

tl::expected<Settings, std::vector<Error>> read_installed_settings(const std::string& folder) {
  Reader reader;
  reader.read(folder + "/leadwright.toml");
  std::vector<std::string> drop_ins;
  std::error_code none;
  for (const auto& entry : fs::directory_iterator(folder + "/conf.d", none)) {
    if (entry.path().extension() == ".toml") drop_ins.push_back(entry.path().string());
  }
  std::sort(drop_ins.begin(), drop_ins.end());
  for (const std::string& path : drop_ins) reader.read(path);
  return reader.finish();
}

}  // namespace leadwright
