// SPDX-License-Identifier: Apache-2.0
// One lead-acid cell: acid, plates, polarisation, gassing. Our own lumped model, made to look like the levels
// in shared/domain.md (sections 5 to 8 and 12), not fitted to any outside trace.
#pragma once

#include "daemon/quantities/quantity.h"
#include "tools/benchsim/cell_build.h"

namespace leadwright {

/// What may be wrong inside one cell.
enum class CellFault {
  none,
  shorted,          ///< plates touch: no voltage left, a small resistance remains
  open,             ///< broken strap: 5 ohm in series
  high_resistance,  ///< corroded strap or grid: 12 mohm in series
  sulphated,        ///< takes little charge, less plate area, more resistance
  low_capacity,     ///< active material shed: 45 % of it left, voltage and resistance near normal
  dried_out,        ///< less and stronger acid: slightly high at rest, little capacity, more resistance
  reversed,         ///< driven through zero and charged backwards
  self_discharge,   ///< loses 17 % of its charge in a day at 20 degC, else sound
};

/// What a cell is made of. All sizes follow from the nominal capacity.
struct CellMake {
  Coulomb c20 = ampere_hours(60.0);
  double size = 1.0;  ///< capacity over that of a nominal cell
  double wear = 1.0;  ///< active material left, 0..1
  CellFault fault = CellFault::none;
  double severity = 1.0;  ///< of the fault, 0 sound to 1 as described above; no half-shorted or reversed cell
  CellBuild build = CellBuild::flooded;
};

class SimCell {
 public:
  /// The capacity that the sizes of the model are given for.
  static constexpr double reference_ah = 60.0;

  /// Rested at `charged` (1 = full, 0 = acid used up at the 20 h rate).
  SimCell(const CellMake& make, double charged);

  /// Exact for constant current in all linear parts; at most 10 s at a time keeps the rest accurate.
  void advance(Second time, Ampere discharge, Celsius acid);
  Volt terminal(Ampere discharge, Celsius acid) const;
  /// Rested voltage at the present charge, without surface charge.
  Volt rested() const;
  double charged() const { return charge_; }
  /// Share of its acid that its plates can use up, at most 1.
  double usable() const { return material_c_ < acid_c_ ? material_c_ / acid_c_ : 1.0; }
  /// Part of a charging current that only makes gas.
  Ampere gassing(Ampere charge, Celsius acid) const;

 private:
  struct Charging {
    double volts;
    double main_a;
  };
  double ohmic(Celsius acid) const;
  double emf() const;
  /// Of acid alone at a charge, without surface charge.
  double acid_emf(double charge) const;
  double collapse(double amps, Celsius acid) const;
  Charging charging(double amps, Celsius acid) const;

  CellFault fault_;
  double acid_c_;      // charge whose acid is the whole useful acid, coulomb
  double material_c_;  // charge that the plates can give, coulomb
  double ohmic_;       // ohm, full, 25 degC
  double acceptance_;  // ohm: charging resistance with all sulphate present
  double loss_;        // charge lost in a second over that of a sound cell
  double emf_shift_;   // volt
  BuildLevels build_;
  double charge_;         // 0..1, by acid
  double deficit_ = 0.0;  // acid missing in the pores, same unit as charge_; negative while charging
  double kinetic_ = 0.0;  // volt, fast polarisation
  double surface_ = 0.0;  // volt, surface charge
};

}  // namespace leadwright
