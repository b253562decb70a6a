// SPDX-License-Identifier: Apache-2.0
// What an expression may know of a battery before a run: its nameplate, and what follows from it.
#pragma once

#include <optional>
#include <vector>

#include "daemon/battery/ticket.h"
#include "daemon/place/envelope.h"
#include "daemon/procedure/procedure.h"

namespace leadwright {

/// C20 if stated, else 25 A times RC, else 40 Ah (common practice, no source): for currents and lengths of
/// charge, never for a grade.
Coulomb assumed_capacity(const Nameplate& nameplate);

/// Names from the nameplate, `capacity`, and (for lead with 3 or 6 cells) `charge_volts` at the case
/// temperature, 25 degC if that is missing.
Values label_values(const Nameplate& nameplate, std::optional<Celsius> case_temperature);

/// A procedure for one battery at one place, before it runs.
struct RunSubject {
  const Procedure& procedure;
  const Nameplate& nameplate;
  const Choices& parameters;          ///< chosen for it
  const std::vector<Finding>& found;  ///< the ticket's findings so far, oldest first
  InstrumentReach reach;
  std::optional<Celsius> case_temperature;
};

/// Every value that is known then: label_values(), what the place can do, the newest findings, parameters and
/// tables. Fails as bind_names() does; what comes before the name that can't be bound is filled all the same.
Result<void> fill_values(const RunSubject& subject, Values& values);

}  // namespace leadwright
