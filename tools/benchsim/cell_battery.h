// SPDX-License-Identifier: Apache-2.0
// A lead-acid battery of our own model: cells in series with one temperature. See sim_cell.h for the cell.
#pragma once

#include <array>
#include <cstddef>
#include <string>

#include "tools/benchsim/sim_battery.h"
#include "tools/benchsim/sim_cell.h"

namespace leadwright {

struct CellBatteryMake {
  std::string kind = "sound";
  Coulomb c20 = ampere_hours(60.0);
  int cells = 6;
  double charged = 1.0;  ///< 0..1 of all cells, rested
  double wear = 1.0;     ///< active material left in all cells, 0..1
  CellFault fault = CellFault::none;
  int faulty_cells = 0;          ///< that many cells have the fault
  double severity = 1.0;         ///< of it, see CellMake
  bool stands_reversed = false;  ///< charged backwards as a whole: positive post is negative
  Celsius ambient = Celsius(25.0);
  CellBuild build = CellBuild::flooded;
};

class CellBattery final : public SimBattery {
 public:
  explicit CellBattery(CellBatteryMake make);

  std::unique_ptr<SimBattery> clone() const override { return std::make_unique<CellBattery>(*this); }
  void advance(Second time, Ampere discharge) override;
  Volt terminal(Ampere discharge) const override;
  Volt rested() const override;
  Celsius temperature() const override { return temperature_; }
  int cells() const override { return make_.cells; }
  Second truth_at_25a() const override;
  std::string description() const override;
  /// As truth_at_25a(), from the charge and temperature that it has now.
  Second lasts_at_25a() const;

  /// State of charge by acid at which the plates of its poorest cell have nothing left to give: 0 where the
  /// acid ends first. What comes in lies above, because nothing in a vehicle draws on after that.
  static double emptied_at(const CellBatteryMake& make);

  /// State of charge by acid of the weakest cell without a fault of its own voltage, 0..1.
  double charged() const;
  /// Heat made inside since construction.
  Joule heat() const { return heat_; }
  /// Sum of the gassing of all cells if `charge` flows in: bounds the hydrogen.
  Ampere gassing(Ampere charge) const;

 private:
  /// Equal cells are computed once.
  struct Group {
    SimCell cell;
    int count;
  };
  static constexpr std::size_t groups_max = 3;
  void step(Second time, Ampere discharge);
  void add(CellMake make, int count, double charged);

  CellBatteryMake make_;
  std::array<Group, groups_max> groups_;
  std::size_t group_count_ = 0;
  Celsius temperature_;
  Joule heat_;
};

}  // namespace leadwright
