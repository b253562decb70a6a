// SPDX-License-Identifier: Apache-2.0
// Links to what is really there.
#pragma once

#include <memory>

#include "drivers/link.h"

namespace leadwright {

class AsioLoop;

/// Makes serial and TCP links. `machine` is the clock of deadlines: the real one, never the scaled one.
class SystemLinkFactory final : public LinkFactory {
 public:
  SystemLinkFactory(AsioLoop& loop, Clock& machine) : loop_(loop), machine_(machine) {}
  Result<std::unique_ptr<Link>> make(const LinkAddress& address, const SerialSettings& serial) override;

 private:
  AsioLoop& loop_;
  Clock& machine_;
};

}  // namespace leadwright
