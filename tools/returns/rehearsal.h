// SPDX-License-Identifier: Apache-2.0
// Many returns through the whole daemon on virtual time, each in a world of its own, several at once: what
// `leadwright rehearse returns` does. The result depends on the options alone, not on the number of threads.
// Read next: counter_hand.h (one visit), summary.h (what is made of them).
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "tools/returns/return_case.h"
#include "tools/returns/return_visit.h"

namespace leadwright {

struct ReturnsOptions {
  ReturnsMix mix;
  std::string policy_file;
  std::string config_folder;
  int count = 0;
  /// Instead of `count`: in the order of their numbers until there are so many truly good and so many truly
  /// bad ones. None is left out, so the mix stays what it is.
  std::optional<int> of_each;
  double share_least = 0.6;  ///< of the rating, which tells good from bad for `of_each`
  std::uint64_t seed = 1;
  int threads = 1;
  /// The same batteries through the full sequence as well.
  bool full_sequence = true;
};

/// One battery, the truth about it, and what the bench made of it.
struct RehearsedReturn {
  ReturnCase one;
  Truth truth;
  ReturnVisit visit;
  std::optional<ReturnVisit> full;  ///< charge, rest, complete discharge, recharge, all on one bay
};

/// In the order of their numbers. `on_progress` is called on the caller's thread, now and then, with the
/// share that is done, 0 to 1. Fails with the mistakes of the configuration.
tl::expected<std::vector<RehearsedReturn>, std::vector<Error>> rehearse_returns(
    const ReturnsOptions& options, const std::function<void(double done)>& on_progress = {});

/// One of them.
tl::expected<RehearsedReturn, std::vector<Error>> rehearse_return(const ReturnsOptions& options, int number);

}  // namespace leadwright
