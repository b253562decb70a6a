// SPDX-License-Identifier: Apache-2.0
// What a forecast believes of batteries before it has seen anything; config/estimator.toml, table [forecast],
// gives each value its mark.
#pragma once

#include "daemon/quantities/quantity.h"

namespace leadwright {

struct ForecastSettings {
  /// Of the batteries that come to the bench: one weak cell ends the discharge before the others would.
  double weak_cell_share = 0.10;
  /// As above: the plates of all cells are short of active material, which no plateau shows beforehand.
  double spent_plates_share = 0.20;
  /// Such an end comes evenly between this share of the time that the curve says, and that time.
  double unwarned_from = 0.2;
  /// Minutes by the label alone: median as share of the rating, and standard deviation of the logarithm.
  double label_share = 0.75;
  double label_spread = 0.45;
  /// Standard deviation of the logarithm of the minutes around those of an earlier discharge.
  double earlier_spread = 0.25;
};

}  // namespace leadwright
