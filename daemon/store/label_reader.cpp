// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/label_reader.h"

#include <utility>

namespace leadwright {

namespace {

constexpr double cells_max = 100.0;

const std::vector<std::string>& chemistry_words() {
  static const std::vector<std::string> words{"flooded", "efb",     "agm",   "gel",
                                              "lead",    "lithium", "other", "unknown"};
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
  if (member == "cca") return "cca_a";
  if (member == "reserve_capacity") return "reserve_capacity_min";
  if (member == "c20") return "c20_ah";
  return member;
}

int whole_cells(JsonObject& label, LabelOf of) {
  const auto cells = label.number("cells");
  if (!cells) {
    if (of != LabelOf::vehicle && !label.has("cells"))
      label.error("cells", "missing", "count them: 6 for a 12 V battery, 3 for 6 V");
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

}  // namespace

const std::vector<std::string>& plus_words() {
  static const std::vector<std::string> words{"left", "right"};
  return words;
}

const std::vector<std::string>& post_words() {
  static const std::vector<std::string> words{"taper_large", "taper_small", "side", "stud"};
  return words;
}

void read_nameplate(JsonObject& label, LabelOf of, const std::string& path, Nameplate& plate,
                    std::string& date_code, std::vector<Error>& errors) {
  const auto chemistry = label.choice("chemistry", chemistry_words());
  if (of != LabelOf::vehicle && !label.has("chemistry")) {
    label.error("chemistry", "missing",
                "one of " + listed(chemistry_words()) +
                    "; \"lead\" is a lead battery of unknown kind, \"unknown\" is never energised");
  }
  plate.chemistry = chemistry_of(chemistry.value_or("unknown")).value_or(Chemistry::unknown);
  plate.cells = whole_cells(label, of);
  plate.cca = rating<Ampere>(label, {"cca_a", "cca_standard"}, [](double amps) { return Ampere(amps); });
  plate.reserve_capacity =
      rating<Second>(label, {"reserve_capacity_min", "reserve_capacity_standard"}, minutes);
  plate.c20 = rating<Coulomb>(label, {"c20_ah", "c20_standard", false}, ampere_hours);
  plate.size_code = label.text("size_code");
  if (of == LabelOf::battery) {
    plate.manufactured_on = label.text("manufactured_on");
    date_code = label.text("date_code");
  }
  if (!date_code.empty() && !plate.manufactured_on.empty())
    label.error("date_code", "it is given beside manufactured_on", "leave one of the two out");
  for (Error& error : implausible(plate)) {
    // A count of zero stands for one that was missing or unreadable, which has been said.
    if (error.where == "cells" && plate.cells == 0) continue;
    error.where = path + file_key(error.where);
    errors.push_back(std::move(error));
  }
}

}  // namespace leadwright
