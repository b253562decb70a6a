// SPDX-License-Identifier: Apache-2.0
// What a thermometer with one or more sensors does, each on the case of what stands at one pair of posts.
#pragma once

#include <vector>

#include "tools/benchsim/sim_instrument.h"

namespace leadwright {

class ThermometerPart final : public SimPart {
 public:
  /// Accuracy as declared in config/profiles/simulated_thermometer.toml.
  ThermometerPart(SimInstrument& whole, const std::vector<Terminals*>& places) : whole_(whole) {
    const SimAccuracy accuracy{0.0, 0.3, whole.is_ideal() ? 0.01 : 0.1};
    for (Terminals* place : places) sensors_.push_back({place, Display(whole, accuracy, range_degc)});
    whole.add(*this);
  }

  int channels() const { return static_cast<int>(sensors_.size()); }
  /// Degrees Celsius of one of the channels, which count from 0.
  double read(int channel) {
    Sensor& sensor = sensors_.at(static_cast<std::size_t>(channel));
    sensor.place->settle(whole_.now());
    return sensor.display.show(sensor.place->temperature().degc());
  }

 private:
  static constexpr double range_degc = 150.0;
  struct Sensor {
    Terminals* place;
    Display display;
  };
  SimInstrument& whole_;
  std::vector<Sensor> sensors_;
};

}  // namespace leadwright
