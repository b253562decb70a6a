// SPDX-License-Identifier: Apache-2.0
// Who is there, asked by reading one holding register: Modbus has no identity that every unit must give, but
// every unit answers a read, if only with an exception.
#pragma once

#include "tools/client/instrument/probe_step.h"

namespace leadwright {

class ModbusProbe final : public ProbeStep {
 public:
  /// Over TCP with its own header, else as RTU.
  ModbusProbe(bool is_tcp, int unit) : is_tcp_(is_tcp), unit_(unit) {}
  std::string question() const override;
  Task<Result<WhoAnswered>> ask(Link& link, Clock& machine) const override;

 private:
  bool is_tcp_;
  int unit_;
};

}  // namespace leadwright
