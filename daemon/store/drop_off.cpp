// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/drop_off.h"

#include <algorithm>
#include <boost/json.hpp>

#include "daemon/battery/date_code.h"
#include "daemon/store/json_object.h"

namespace leadwright {

namespace {

constexpr std::size_t procedures_max = 32;

constexpr double cells_max = 100.0;

const std::vector<std::string>& chemistry_words() {
  static const std::vector<std::string> words{"flooded", "efb", "agm", "gel", "lithium", "other", "unknown"};
  return words;
}

const std::vector<std::string>& standard_words() {
  static const std::vector<std::string> words{"sae", "en", "iec", "jis", "gb", "unknown"};
  return words;
}

struct RatingKeys {
  const char* value;
  const char* standard;
  bool needs_standard = true;
};

template <class T, class FromUnit>
std::optional<Rating<T>> rating(JsonObject& label, const RatingKeys& keys, FromUnit from_unit) {
  const auto value = label.number(keys.value);
  const bool has_standard = label.has(keys.standard);
  const auto standard = label.choice(keys.standard, standard_words());
  if (!value) {
    if (has_standard && !label.has(keys.value)) {
      label.error(keys.standard, std::string("a standard without its rating ") + keys.value,
                  "state both or neither");
    }
    return std::nullopt;
  }
  if (!has_standard && keys.needs_standard) {
    label.error(keys.standard, "missing: a rating needs the standard it is stated in",
                "one of " + listed(standard_words()) + "; \"unknown\" if the label does not say");
  }
  return Rating<T>{from_unit(*value),
                   rating_standard_of(standard.value_or("unknown")).value_or(RatingStandard::unknown)};
}

/// The key in the file of a mistake that implausible() names by its member.
std::string file_key(const std::string& member) {
  if (member == "cca") return "battery.cca_a";
  if (member == "reserve_capacity") return "battery.reserve_capacity_min";
  if (member == "c20") return "battery.c20_ah";
  return "battery." + member;
}

int whole_cells(JsonObject& label) {
  const auto cells = label.number("cells");
  if (!cells) {
    if (!label.has("cells")) label.error("cells", "missing", "count them: 6 for a 12 V battery, 3 for 6 V");
    return 0;
  }
  const bool is_count = *cells >= 1.0 && *cells <= cells_max;
  const int count = is_count ? static_cast<int>(*cells) : 0;
  if (!is_count || static_cast<double>(count) != *cells) {
    label.error("cells", json_text(*cells) + " is no count of cells", "6 for a 12 V battery, 3 for 6 V");
    return 0;
  }
  return count;
}

void read_label(JsonObject label, DropOff& drop, std::vector<Error>& errors) {
  drop.serial =
      label.need_text("serial", serial_bytes_max, "type the maker's serial or stick a label of ours on");
  const auto chemistry = label.choice("chemistry", chemistry_words());
  if (!label.has("chemistry")) {
    label.error("chemistry", "missing",
                "one of " + listed(chemistry_words()) + "; \"unknown\" is never energised");
  }
  Nameplate& plate = drop.nameplate;
  plate.chemistry = chemistry_of(chemistry.value_or("unknown")).value_or(Chemistry::unknown);
  plate.cells = whole_cells(label);
  plate.cca = rating<Ampere>(label, {"cca_a", "cca_standard"}, [](double amps) { return Ampere(amps); });
  plate.reserve_capacity =
      rating<Second>(label, {"reserve_capacity_min", "reserve_capacity_standard"}, minutes);
  plate.c20 = rating<Coulomb>(label, {"c20_ah", "c20_standard", false}, ampere_hours);
  plate.size_code = label.text("size_code");
  plate.manufactured_on = label.text("manufactured_on");
  drop.date_code = label.text("date_code");
  if (!drop.date_code.empty() && !plate.manufactured_on.empty())
    label.error("date_code", "it is given beside manufactured_on", "leave one of the two out");
  label.finish();
  for (Error& error : implausible(plate)) {
    // A count of zero stands for one that was missing or unreadable, which has been said.
    if (error.where == "cells" && plate.cells == 0) continue;
    error.where = file_key(error.where);
    errors.push_back(std::move(error));
  }
}

Story read_story(JsonObject story) {
  Story told;
  told.complaint = story.text("complaint");
  told.sold_on = story.text("sold_on");
  told.monitor_report = story.text("monitor_report");
  told.receipt = story.text("receipt");
  if (!told.sold_on.empty() && !Utc::parse_from_month(told.sold_on)) {
    story.error("sold_on", "\"" + told.sold_on + "\" is not a date",
                "write 2024-03 or 2024-03-15, or leave it out");
  }
  story.finish();
  return told;
}

Inspection read_inspection(JsonObject inspection) {
  Inspection seen;
  seen.cracked = inspection.flag("cracked");
  seen.leaking = inspection.flag("leaking");
  seen.swollen = inspection.flag("swollen");
  seen.frozen = inspection.flag("frozen");
  seen.terminals_damaged = inspection.flag("terminals_damaged");
  seen.remarks = inspection.text("remarks");
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
    if (auto inspection = root.object("inspection")) drop.inspection = read_inspection(*inspection);
    drop.procedures = read_procedures(root, known_procedures);
    root.finish();
  }
  if (!errors.empty()) return tl::unexpected<std::vector<Error>>(std::move(errors));
  return drop;
}

Result<DropOff> parse_drop_off(std::string_view json, const std::vector<std::string>& known_procedures) {
  auto read = read_drop_off(json, known_procedures);
  if (read) return std::move(*read);
  std::string all;
  for (const Error& error : read.error()) all += (all.empty() ? "" : "; ") + error.line();
  return fail(Errc::bad_input, all, "drop-off");
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
