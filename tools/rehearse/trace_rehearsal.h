// SPDX-License-Identifier: Apache-2.0
// `leadwright rehearse trace FILE...`: a reserve-capacity run on a replayed battery for each CSV file, by the
// whole daemon on virtual time with ideal instruments.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "protocol/result.h"

namespace leadwright {

struct TraceRehearsalOptions {
  std::vector<std::string> files;
  std::string config_folder;
  std::string wire_file;  ///< every byte exchanged, empty for none
  std::string log_file;   ///< event log, empty for none
  std::uint64_t seed = 1;
  bool realistic = false;  ///< instruments with the errors that their profile declares
};

struct TraceRehearsal {
  std::string file;
  std::optional<double> reserve_capacity_min;    ///< as measured, uncorrected
  std::optional<double> reserve_capacity_u_min;  ///< its standard uncertainty
  std::optional<double> ah;
  std::optional<double> temperature_degc;
  std::string end_reason;
  std::uint64_t exchanges = 0;
  std::uint64_t samples = 0;
};

/// One result a file, in the order given. Fails with the first file that can't be read or tested.
Result<std::vector<TraceRehearsal>> rehearse_traces(const TraceRehearsalOptions& options);

/// A JSON array with one object a file.
std::string trace_rehearsals_json(const std::vector<TraceRehearsal>& rehearsals);

}  // namespace leadwright
