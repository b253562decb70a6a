// SPDX-License-Identifier: Apache-2.0
// How a capacity shrinks with the current: t = H (C / (I H))^k, C being what is given in H hours. Pure; any
// thread. Marks: shared domain notes, section 2 (F: the form; published exponents 1.05 to 1.3).
#pragma once

#include "daemon/quantities/quantity.h"
#include "protocol/result.h"

namespace leadwright {

/// The law, and the currents between which somebody measured it: at low rates the acid limits, at high ones
/// the voltage (F: Sulzer et al. 2019), so it is no law outside them, and never one of cranking currents.
struct RateLaw {
  Coulomb capacity;
  Second over;     ///< the time that the capacity is stated for
  double k = 1.0;  ///< a pure number
  Ampere fastest;  ///< the law is refused above this
};

/// k = ln(t1/t2) / ln(I2/I1), from two discharges of one battery. Fails with unsupported unless both times
/// and currents are positive and the currents differ.
struct Discharged {
  Ampere amps;
  Second lasted;
};
Result<double> peukert_exponent(const Discharged& slow, const Discharged& fast);

/// Fails with unsupported for no current, and above law.fastest.
Result<Second> time_at(const RateLaw& law, Ampere amps);

/// From a label's 20-hour capacity and reserve capacity, up to 25 A.
Result<RateLaw> rate_law(Coulomb c20, Second reserve_capacity);

}  // namespace leadwright
