// SPDX-License-Identifier: Apache-2.0
// A simulated instrument that speaks SCPI: the device's side of the text, and the words that several share.
// Read next: sim_load.h.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "tools/benchsim/load_part.h"
#include "tools/benchsim/protection.h"
#include "tools/benchsim/scpi_device.h"
#include "tools/benchsim/sim_instrument.h"

namespace leadwright {

class ScpiInstrument : public SimInstrument, public ScpiDevice {
 public:
  /// `role` is what its identity calls it.
  ScpiInstrument(std::string_view role, const SimInstrumentOptions& options, Terminals& posts,
                 const Clock& bench);

  void exchange(std::string_view bytes, std::string& answers) override;
  void interrupted() override { ScpiDevice::interrupted(); }
  void connected() override { forget_input(); }

 protected:
  /// MEASure:VOLTage? and MEASure:CURRent?.
  void add_measurements(std::function<double()> volts, std::function<double()> amps);
  /// A setting under `node` with its question, and the question for its ends.
  void add_setting(std::string_view node, double most, std::function<void(double)> set,
                   std::function<double()> get);
  /// `node` ON|OFF with its question. `turn` gives false for a conflict: "tripped, clear it first".
  void add_switch(std::string_view node, std::function<bool(bool)> turn, std::function<bool()> is_on);
  /// The five words of one protection (level, level?, STATe, TRIPped?, CLEar) under `node`, for all parts
  /// that have it.
  void add_protection(std::string_view node, std::vector<Protection*> protections);
  /// INPut:CUT, INPut:CUT?, INPut:CUT:TRIPped?, INPut:CUT:CLEar: a node of our own.
  void add_cutoff(LoadPart& load);

 private:
  void begin_message() override { begin(); }
  void reset() override;
  void restarted() override { ScpiDevice::restart(); }
  void fault_changed(Fault fault, bool on) override;

  std::string unheard_;
};

}  // namespace leadwright
