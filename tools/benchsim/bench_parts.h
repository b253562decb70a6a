// SPDX-License-Identifier: Apache-2.0
// What SimBench is made of: for its own .cpp files.
#pragma once

#include <memory>
#include <string>

#include "tools/benchsim/benchsim.h"

namespace leadwright {

struct SimBench::Place {
  std::string name;
  Terminals terminals;
  bool takes_load = false;  // a load or a charger is there already, or a selector leads there
  bool takes_charger = false;
};

struct SimBench::Standing : StandingBattery {
  Place* place = nullptr;  // null: on the shelf
};

struct SimBench::Equipped {
  enum class Kind { load, charger, two_quadrant, thermometer, relay_box } kind;
  std::unique_ptr<SimInstrument> instrument;
  Address address;
  std::unique_ptr<Terminals> leads;  // of a shared instrument
};

}  // namespace leadwright
