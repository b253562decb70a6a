// SPDX-License-Identifier: Apache-2.0
// leadwright run watch: follows the event stream until what it watches has ended.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/settings/exit_codes.h"
#include "tools/client/options.h"

namespace leadwright {

/// What to print for one snapshot, and whether the watched run has ended.
class WatchView {
 public:
  /// `place` empty: every place, for ever.
  explicit WatchView(std::string place) : place_(std::move(place)) {}

  struct Line {
    std::string place;
    std::string text;
    bool is_new = false;  ///< something other than its numbers has changed
  };
  /// One line for each place that runs or has just stopped. Fails with garbled for what is not a snapshot,
  /// with not_found for a place that the bench does not have, and with conflict if nothing runs there at the
  /// start.
  Result<std::vector<Line>> take(std::string_view snapshot);
  bool has_ended() const { return has_ended_; }
  /// True if the run ended in a trip or the place went out of service.
  bool ended_badly() const { return ended_badly_; }

 private:
  std::string place_;
  std::map<std::string, std::string> last_;  ///< place: what it did, without numbers
  bool has_run_ = false;
  bool has_ended_ = false;
  bool ended_badly_ = false;
};

/// Exit code ok when the run has ended, negative when it ended in a trip.
ExitCode run_watch(const ClientOptions& client, const WatchOptions& options);

}  // namespace leadwright
