// SPDX-License-Identifier: Apache-2.0
// Links to what is really there.
#pragma once

#include <memory>

#include "drivers/helper_threads.h"
#include "drivers/link.h"

namespace leadwright {

class AsioLoop;

/// Makes serial, USBTMC and TCP links. `machine` is the clock of deadlines: the real one, never the scaled
/// one. Its destruction waits for the helpers of links that are gone: at most for the call that each blocks
/// in.
class SystemLinkFactory final : public LinkFactory {
 public:
  SystemLinkFactory(AsioLoop& loop, Clock& machine) : loop_(loop), machine_(machine) {}
  Result<std::unique_ptr<Link>> make(const LinkAddress& address, const SerialSettings& serial) override;
  /// For a process that is about to die: blocks until urgent bytes that helpers hold are with the kernel, or
  /// for `at_most`. Any thread. True if none is left.
  bool finish_urgent(Second at_most) noexcept { return helpers_->wait_for_urgent(at_most); }

 private:
  AsioLoop& loop_;
  Clock& machine_;
  std::shared_ptr<HelperThreads> helpers_ = std::make_shared<HelperThreads>();
};

}  // namespace leadwright
