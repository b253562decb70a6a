// SPDX-License-Identifier: Apache-2.0
// The options that describe a battery's label and its posts. Sees the outside library: for the *_options.cpp
// alone.
#pragma once

#include <string>

#include "tools/client/cli.h"

namespace leadwright {

/// "--chemistry" and the rest; `prefix` "--vehicle-" for what a vehicle asks for, which has no date.
inline void add_label_options(CLI::App* verb, LabelOptions& to, const std::string& prefix = "--") {
  constexpr const char* standards = "sae, en, iec, jis, gb";
  verb->add_option(prefix + "chemistry", to.chemistry,
                   "flooded, efb, agm, gel, lead (of unknown kind), lithium, other, unknown");
  verb->add_option(prefix + "cells", to.cells, "6 for 12 V, 3 for 6 V");
  verb->add_option(prefix + "cca", to.cca, "cold cranking amperes, '640 A'");
  verb->add_option(prefix + "cca-standard", to.cca_standard, standards);
  verb->add_option(prefix + "rc", to.reserve_capacity, "reserve capacity, '110 min'");
  verb->add_option(prefix + "rc-standard", to.reserve_capacity_standard, standards);
  verb->add_option(prefix + "c20", to.c20, "20-hour capacity, '60 Ah'");
  if (prefix == "--") verb->add_option("--c20-standard", to.c20_standard, standards);
  verb->add_option(prefix + "size", to.size_code, "size code of the label");
  if (prefix != "--") return;
  verb->add_option("--made", to.manufactured_on, "2024-03 or 2024-03-15");
  verb->add_option("--date-code", to.date_code, "as stamped, instead of --made: C24, 11/19, 02 11 19");
}

inline void add_part_option(CLI::App* verb, std::string& part) {
  verb->add_option("--part", part, "its number in the bench's list of parts, which fills the label");
}

inline void add_posts(CLI::App* verb, PostOptions& to, const std::string& prefix) {
  verb->add_option(prefix + "plus-at", to.plus_at, "left or right, seen from the posts' side")
      ->check(CLI::IsMember({"left", "right"}));
  verb->add_option(prefix + "post", to.post, "kind of the posts")
      ->check(CLI::IsMember({"taper_large", "taper_small", "side", "stud"}));
}

}  // namespace leadwright
