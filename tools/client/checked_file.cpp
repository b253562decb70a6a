// SPDX-License-Identifier: Apache-2.0
#include "tools/client/checked_file.h"

#include <boost/json/array.hpp>
#include <boost/json/serialize.hpp>
#include <fstream>
#include <iostream>
#include <utility>

namespace leadwright {

CheckedFile wrong_file(const std::string& file, const std::vector<Error>& mistakes) {
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

ExitCode report_mistakes(const std::vector<Error>& mistakes) {
  for (const Error& mistake : mistakes) std::cerr << "leadwright: " << mistake.line() << '\n';
  return exit_code(mistakes.front().code);
}

ExitCode check_files(const std::vector<std::string>& files, bool as_json,
                     const std::function<CheckedFile(const std::string& file)>& check) {
  ExitCode code = ExitCode::ok;
  boost::json::array bodies;
  for (const std::string& file : files) {
    CheckedFile checked = check(file);
    if (code != ExitCode::bad_data && checked.code != ExitCode::ok) code = checked.code;
    if (as_json) {
      bodies.push_back(std::move(checked.body));
    } else {
      std::cout << checked.text;
    }
  }
  if (as_json) std::cout << boost::json::serialize(bodies) << "\n";
  return std::cout.flush() ? code : ExitCode::io;
}

}  // namespace leadwright
