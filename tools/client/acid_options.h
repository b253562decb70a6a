// SPDX-License-Identifier: Apache-2.0
// The options of a look with a hydrometer. Sees the outside library: for the *_options.cpp alone.
#pragma once

#include "tools/client/cli.h"

namespace leadwright {

inline void add_acid_options(CLI::App* verb, AcidOptions& to) {
  verb->add_option("--gravity", to.gravity,
                   "specific gravity of each cell from the positive post on, 1.265,1.260,-,1.265; flooded "
                   "with caps only, with eye and hand protection");
  verb->add_option("--acid-degc", to.acid_degc, "temperature of the acid then, in degC");
}

}  // namespace leadwright
