// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/drop_off.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <boost/json.hpp>

#include "daemon/battery/acid.h"
#include "daemon/battery/date_code.h"
#include "daemon/store/acid_json.h"
#include "daemon/store/json_object.h"
#include "daemon/store/label_reader.h"

namespace leadwright {

namespace {

constexpr std::size_t procedures_max = 32;
constexpr std::size_t size_bytes_max = 64;
/// Above any starter battery, the heaviest of which weigh some 65 kg (from memory).
constexpr double weight_max_kg = 100.0;

void read_label(JsonObject label, DropOff& drop, std::vector<Error>& errors) {
  drop.serial =
      label.need_text("serial", serial_bytes_max, "type the maker's serial or stick a label of ours on");
  read_nameplate(label, LabelOf::battery, "battery.", drop.nameplate, drop.date_code, errors);
  label.finish();
}

VehicleMonitor read_monitor(JsonObject monitor) {
  VehicleMonitor read;
  read.soc = monitor.number_within("soc_1", 0.0, 1.0);
  if (const auto days = monitor.number_within("age_days", 0.0, 10000.0)) read.age = hours(24.0 * *days);
  if (const auto degc = monitor.number_within("battery_degc", -40.0, 110.0)) read.battery = Celsius(*degc);
  read.reset_on = monitor.text("reset_on");
  if (!read.reset_on.empty() && (read.reset_on.size() != 10 || !Utc::parse(read.reset_on)))
    monitor.error("reset_on", "\"" + read.reset_on + "\" is no day", "write 2024-03-15, or leave it out");
  monitor.finish();
  return read;
}

Story read_story(JsonObject story) {
  Story told;
  told.complaint = story.text("complaint");
  told.sold_on = story.text("sold_on");
  told.monitor_report = story.text("monitor_report");
  told.receipt = story.text("receipt");
  if (auto monitor = story.object("monitor")) told.monitor = read_monitor(*monitor);
  if (!told.sold_on.empty() && !Utc::parse_from_month(told.sold_on)) {
    story.error("sold_on", "\"" + told.sold_on + "\" is not a date",
                "write 2024-03 or 2024-03-15, or leave it out");
  }
  story.finish();
  return told;
}

constexpr std::array<std::pair<const char*, bool Inspection::*>, 9> sign_keys{
    {{"cracked", &Inspection::cracked},
     {"leaking", &Inspection::leaking},
     {"swollen", &Inspection::swollen},
     {"frozen", &Inspection::frozen},
     {"terminals_damaged", &Inspection::terminals_damaged},
     {"terminals_corroded", &Inspection::terminals_corroded},
     {"vents_blocked", &Inspection::vents_blocked},
     {"electrolyte_low", &Inspection::electrolyte_low},
     {"label_unreadable", &Inspection::label_unreadable}}};

/// What is left out stays as `seen` has it.
Inspection read_inspection(JsonObject inspection, Inspection seen) {
  for (const auto& [key, sign] : sign_keys) {
    const bool is_seen = inspection.flag(key);
    if (inspection.has(key)) seen.*sign = is_seen;
  }
  const auto choose = [&inspection](const char* key, const std::vector<std::string>& words, std::string& to) {
    if (auto chosen = inspection.choice(key, words)) to = std::move(*chosen);
  };
  choose("plus_at", plus_words(), seen.plus_at);
  choose("post", post_words(), seen.post);
  choose("vehicle_plus_at", plus_words(), seen.vehicle_plus_at);
  choose("vehicle_post", post_words(), seen.vehicle_post);
  const auto told = [&inspection](const char* key, std::size_t bytes_max, std::string& to) {
    std::string text = inspection.text(key, bytes_max);
    if (inspection.has(key)) to = std::move(text);
  };
  told("vehicle_size_code", size_bytes_max, seen.vehicle_size_code);
  told("remarks", text_bytes_max, seen.remarks);
  const auto weight = inspection.number("weight_kg");
  if (weight && (*weight <= 0.0 || *weight > weight_max_kg)) {
    inspection.error("weight_kg", fmt::format("{:g} kg is no battery's weight", *weight),
                     fmt::format("give more than 0 and at most {:g} kg, or leave it out", weight_max_kg));
  }
  if (weight) seen.weight_kg = weight;
  if (auto acid = inspection.object("acid")) seen.acid = read_acid(*acid);
  inspection.finish();
  return seen;
}

std::vector<std::string> read_procedures(JsonObject& root, const std::vector<std::string>& known) {
  std::vector<std::string> wanted = root.texts("procedures", procedures_max);
  for (const std::string& name : wanted) {
    if (known.empty() || std::find(known.begin(), known.end(), name) != known.end()) continue;
    const std::string near = near_match(name, known);
    root.error("procedures", "no procedure is called \"" + name + "\"",
               near.empty() ? "one of " + listed(known) : "did you mean \"" + near + "\"?");
  }
  return wanted;
}

std::optional<Utc> read_promise(JsonObject& root) {
  const std::string text = root.text("promised_at");
  if (text.empty()) return std::nullopt;
  auto at = Utc::parse(text);
  if (!at) root.error("promised_at", "\"" + text + "\" is no time", "write it as 2026-01-31T17:00:00Z");
  return at;
}

}  // namespace

tl::expected<DropOff, std::vector<Error>> read_drop_off(std::string_view json,
                                                        const std::vector<std::string>& known_procedures) {
  std::vector<Error> errors;
  boost::json::error_code failed;
  const boost::json::value parsed =
      boost::json::parse(boost::json::string_view(json.data(), json.size()), failed);
  DropOff drop;
  if (failed) {
    errors.push_back(
        {Errc::bad_input, "this is no JSON: " + failed.message(), "body", "see ticket add --help"});
  } else if (!parsed.is_object()) {
    errors.push_back({Errc::bad_input, "not a JSON object", "body", "start with {\"battery\": {...}}"});
  } else {
    JsonObject root(parsed.get_object(), "", errors);
    if (!root.has("battery")) root.error("battery", "missing", "state serial, chemistry and cells at least");
    if (auto label = root.object("battery")) read_label(*label, drop, errors);
    if (auto story = root.object("story")) drop.story = read_story(*story);
    if (auto inspection = root.object("inspection")) drop.inspection = read_inspection(*inspection, {});
    if (errors.empty() && drop.inspection.acid) {
      const Result<void> fits = fits_label(*drop.inspection.acid, drop.nameplate);
      if (!fits) root.error("inspection.acid", fits.error().what, fits.error().mend);
    }
    drop.procedures = read_procedures(root, known_procedures);
    drop.promised_at = read_promise(root);
    root.finish();
  }
  if (!errors.empty()) return tl::unexpected<std::vector<Error>>(std::move(errors));
  return drop;
}

Result<DropOff> parse_drop_off(std::string_view json, const std::vector<std::string>& known_procedures) {
  auto read = read_drop_off(json, known_procedures);
  if (read) return std::move(*read);
  return fail(Errc::bad_input, joined_lines(read.error()), "drop-off");
}

Result<Inspection> parse_inspection(std::string_view json, Inspection before) {
  std::vector<Error> errors;
  boost::json::error_code failed;
  const boost::json::value parsed =
      boost::json::parse(boost::json::string_view(json.data(), json.size()), failed);
  if (failed || !parsed.is_object())
    return fail(Errc::bad_input, "this is no JSON object", "body", "say what was seen: {\"cracked\": true}");
  Inspection seen = read_inspection(JsonObject(parsed.get_object(), "", errors), std::move(before));
  if (errors.empty()) return seen;
  return fail(Errc::bad_input, joined_lines(errors), "inspection");
}

Result<void> read_date_code(DropOff& drop, Utc today) {
  if (drop.date_code.empty()) return {};
  auto months = months_of_date_code(drop.date_code, today);
  const std::string sold = drop.story.sold_on.substr(0, sizeof "2024-03" - 1);
  if (!sold.empty()) std::erase_if(months, [&sold](const std::string& month) { return month > sold; });
  const char* const where = "battery.date_code";
  if (months.empty()) {
    return fail(Errc::bad_input, "\"" + drop.date_code + "\" is no date code that can be read", where,
                "give manufactured_on instead, or leave both out: then its age is unknown");
  }
  if (months.size() > 1) {
    return fail(Errc::bad_input, "\"" + drop.date_code + "\" may mean " + listed(months), where,
                "ask, or look at the receipt, and give manufactured_on");
  }
  drop.nameplate.manufactured_on = months.front();
  return {};
}

}  // namespace leadwright
