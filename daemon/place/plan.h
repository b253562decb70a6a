// SPDX-License-Identifier: Apache-2.0
// What a procedure would do with one battery at one place, before it runs: amounts, times, charge and energy,
// variants, and everything that stands in the way. Pure; any thread. Read next: ../procedure/proof.h.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "daemon/battery/ticket.h"
#include "daemon/procedure/account.h"
#include "drivers/profile.h"

namespace leadwright {

/// The profiles of a place's instruments; null where it has none.
struct PlaceProfiles {
  const Profile* load = nullptr;
  const Profile* charger = nullptr;
  const Profile* thermometer = nullptr;
};

struct PlannedStep {
  StepAccount account;     ///< with this battery's numbers
  int runs_max = 1;        ///< how often it can run
  Second expected{0.0};    ///< once
  Second longest{0.0};     ///< once
  Coulomb drawn_max{0.0};  ///< once
  Coulomb given_max{0.0};  ///< once
  std::string estimated;   ///< by which variant; empty if the step itself is done
  std::string limited;     ///< why less flows than the step asks for; empty if nothing limits it
};

struct RunPlan {
  std::vector<PlannedStep> steps;
  Second expected{0.0};
  Second longest{0.0};
  Coulomb drawn_max{0.0};  ///< most that leaves the battery
  Coulomb given_max{0.0};  ///< most that is charged into it
  Joule drawn_energy_max{0.0};
  Joule given_energy_max{0.0};
  bool attended = false;
  std::string consent;
  std::vector<Error> obstacles;  ///< empty: it can run
};

struct PlanRequest {
  const Procedure* procedure = nullptr;
  Nameplate nameplate;
  PlaceProfiles place;
  Choices parameters;  ///< in SI
  std::vector<Finding> found;
};

/// For a case at 25 degC and a battery that rests at 2.1 V a cell.
RunPlan plan_of(const PlanRequest& request);

}  // namespace leadwright
