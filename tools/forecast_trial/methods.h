// SPDX-License-Identifier: Apache-2.0
// Ways to foretell the end of a discharge, tried side by side on the same samples.
#pragma once

#include <array>
#include <optional>

#include "daemon/battery/forecast.h"
#include "tools/forecast_trial/cases.h"

namespace leadwright {

enum class Method {
  label,          ///< nameplate and survival alone
  blind,          ///< a parabola through the samples, which knows no curve
  foreign_curve,  ///< laid upon the as-new curve of another design
  own_curve,      ///< laid upon its own design's, all cells taken as alike
  whole,          ///< the same with the end without a warning counted in: what the bench shows
};
inline constexpr std::array methods{Method::label, Method::blind, Method::foreign_curve, Method::own_curve,
                                    Method::whole};
const char* word(Method method);

/// Answer after that time; missing if the method has none. Method::blind has no interval of its own: its ends
/// are its likely end.
std::optional<EndInterval> foretell(Method method, const TrialCase& one, Second seen);

/// A forecast of the case, fed with its samples up to `seen`.
DischargeForecast forecast_of(const TrialCase& one, Second seen);

}  // namespace leadwright
