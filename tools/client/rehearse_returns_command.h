// SPDX-License-Identifier: Apache-2.0
// `leadwright rehearse returns`: how a policy fares with thousands of simulated returns. Needs no daemon.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "daemon/settings/exit_codes.h"
#include "tools/client/options.h"

namespace leadwright {

struct RehearseReturnsOptions {
  /// Each a file, or the name of one in the configuration's policies/.
  std::vector<std::string> policies{"bench"};
  std::string mix;     ///< file; empty: the configuration's returns.toml
  std::string config;  ///< folder; empty: the program's own
  int count = 200;
  std::optional<int> of_each;  ///< instead: until there are so many truly good and so many truly bad ones
  std::uint64_t seed = 1;
  int threads = 0;  ///< 0: as many as the machine has
  std::string accepted_from = "C";
  bool without_full_sequence = false;
  std::optional<int> only;  ///< the story of this one instead
};

/// Prints tables or JSON; progress goes to stderr where that is a terminal, errors too.
ExitCode rehearse_returns_command(const ClientOptions& client, const RehearseReturnsOptions& options);

}  // namespace leadwright
