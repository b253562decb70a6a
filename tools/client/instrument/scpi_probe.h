// SPDX-License-Identifier: Apache-2.0
// Who is there, asked with *IDN? (IEEE 488.2, 10.14).
#pragma once

#include "tools/client/instrument/probe_step.h"

namespace leadwright {

class ScpiProbe final : public ProbeStep {
 public:
  std::string question() const override { return "*IDN?"; }
  /// Asked twice: an instrument that opening the port resets does not hear the first, and noise may spoil it.
  Task<Result<WhoAnswered>> ask(Link& link, Clock& machine) const override;
};

}  // namespace leadwright
