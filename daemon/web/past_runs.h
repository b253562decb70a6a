// SPDX-License-Identifier: Apache-2.0
// Traces of runs and photos out of the store, for the web thread. Opens its own read-only connection when it
// is first asked. Never: writes, and never used on control's thread. Read next: ../store/history.h.
#pragma once

#include <memory>
#include <string>

#include "daemon/queue/service.h"
#include "daemon/store/history.h"

namespace leadwright {

class PastRuns {
 public:
  /// Samples of an answer unless the request says otherwise.
  static constexpr std::size_t samples_max = 20000;

  explicit PastRuns(std::string database_path);
  /// 200 with trace_json of the run that the subject names: {"every":"n"} in the body gives every n-th
  /// sample, else as many as samples_max allows. 400 for a bad number, 404 for a run that is not stored, 503
  /// if the store can't be read. The newest second or two of a run may not have been stored yet.
  Response trace(const Request& request);
  /// 200 with the JPEG of the photo that the subject names; 404 for one that is not stored or was erased, 503
  /// if the store can't be read.
  Response photo(const Request& request);

 private:
  Result<void> open();
  Result<std::string> read(const Request& request);
  Result<std::string> read_photo(const Request& request);
  std::string path_;
  std::unique_ptr<History> history_;
};

}  // namespace leadwright
