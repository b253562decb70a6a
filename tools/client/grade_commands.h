// SPDX-License-Identifier: Apache-2.0
// `leadwright grade`: what a policy makes of what was measured. Reads the daemon's database beside it,
// read-only, and changes nothing; needs no daemon.
#pragma once

#include <string>

#include "daemon/settings/exit_codes.h"
#include "tools/client/options.h"

namespace leadwright {

struct GradeOptions {
  std::string ticket;
  std::string policy;    ///< file; empty: the stored grade
  std::string policies;  ///< folder with the shipped ones
};

/// Grades the whole history again and prints each ticket whose letter or disposition changes, and how many
/// stay.
ExitCode grade_recompute(const ClientOptions& client, const GradeOptions& options);

/// One ticket from label to disposition. Without a policy: the stored grade as it was given.
ExitCode grade_explain(const ClientOptions& client, const GradeOptions& options);

/// The page config/gradings.md.
ExitCode grade_examples_page(const ClientOptions& client, const GradeOptions& options);

}  // namespace leadwright
