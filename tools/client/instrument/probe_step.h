// SPDX-License-Identifier: Apache-2.0
// One way to ask who hangs on a link, without a profile. The probe tries them in order until one is answered.
// A further protocol is one more class and one more line in probe_steps().
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "drivers/link.h"

namespace leadwright {

struct WhoAnswered {
  std::string protocol;  ///< "SCPI"
  std::string identity;  ///< in the instrument's own words
};

class ProbeStep {
 public:
  virtual ~ProbeStep() = default;
  /// What is asked, for people: "*IDN?".
  virtual std::string question() const = 0;
  /// Asks on an open, quiet link. Only reads. Fails with timed_out if nothing came, garbled if what came is
  /// no answer of this protocol, link_lost.
  virtual Task<Result<WhoAnswered>> ask(Link& link, Clock& machine) const = 0;
};

/// Those that can be asked over this kind of link, the likeliest first. `unit` is the address of a Modbus
/// unit.
std::vector<std::unique_ptr<ProbeStep>> probe_steps(const LinkAddress& address, int unit);

/// Opens `link`, waits until it is quiet, and goes through the steps; closes it. Fails as the opening or, of
/// the steps, the one that heard most: garbled before link_lost before timed_out.
Task<Result<WhoAnswered>> identify(Link& link, LinkAddress address, int unit, Clock& machine);

}  // namespace leadwright
