// SPDX-License-Identifier: Apache-2.0
// What a check of configuration files found, as text and as JSON. Needs no daemon.
#pragma once

#include <boost/json/object.hpp>
#include <functional>
#include <string>
#include <vector>

#include "daemon/settings/exit_codes.h"
#include "protocol/result.h"

namespace leadwright {

struct CheckedFile {
  ExitCode code = ExitCode::ok;
  std::string text;
  boost::json::object body;
};

/// A file with mistakes, or one that can't be read.
CheckedFile wrong_file(const std::string& file, const std::vector<Error>& mistakes);

/// Each mistake of a file on a line of standard error, for a command that can't go on without it.
ExitCode report_mistakes(const std::vector<Error>& mistakes);

/// Prints what `check` finds, file by file: texts, or one JSON array of the bodies. Exit code bad_data if a
/// file has mistakes, else no_input if one can't be read.
ExitCode check_files(const std::vector<std::string>& files, bool as_json,
                     const std::function<CheckedFile(const std::string& file)>& check);

}  // namespace leadwright
