// SPDX-License-Identifier: Apache-2.0
// What a check of one configuration file found, as text and as JSON.
#pragma once

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <fstream>
#include <string>
#include <vector>

#include "daemon/settings/exit_codes.h"

namespace leadwright {

struct CheckedFile {
  ExitCode code = ExitCode::ok;
  std::string text;
  boost::json::object body;
};

/// A file with mistakes, or one that can't be read.
inline CheckedFile wrong_file(const std::string& file, const std::vector<Error>& mistakes) {
  CheckedFile checked;
  checked.code = std::ifstream(file) ? ExitCode::bad_data : ExitCode::no_input;
  boost::json::array found;
  for (const Error& mistake : mistakes) {
    checked.text += mistake.line() + "\n";
    found.push_back(
        boost::json::object{{"where", mistake.where}, {"what", mistake.what}, {"mend", mistake.mend}});
  }
  checked.body = {{"file", file}, {"is_right", false}, {"mistakes", std::move(found)}};
  return checked;
}

}  // namespace leadwright
