// SPDX-License-Identifier: Apache-2.0
#include "tools/client/profile_commands.h"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <boost/json/serialize.hpp>
#include <fstream>
#include <iostream>

#include "drivers/profile.h"
#include "tools/client/instrument/profile_words.h"

namespace leadwright {

namespace {

namespace json = boost::json;

/// One file: what was found in it, in both forms.
struct Checked {
  ExitCode code = ExitCode::ok;
  std::string text;
  json::object body;
};

json::array lines_of(const std::vector<std::string>& lines) {
  return json::array(lines.begin(), lines.end());
}

Checked describe(const std::string& file, const Profile& profile) {
  const ProfileAccount account = account_of(profile);
  Checked checked;
  checked.text = file + ": right\n  " + account.title + "\n  It can\n";
  for (const std::string& line : account.can) checked.text += "    " + line + "\n";
  if (!account.cannot.empty()) checked.text += "  It can't\n";
  for (const std::string& line : account.cannot) checked.text += "    " + line + "\n";
  checked.body = {{"file", file},
                  {"is_right", true},
                  {"name", profile.name},
                  {"role", word(profile.role)},
                  {"can", lines_of(account.can)},
                  {"cannot", lines_of(account.cannot)}};
  return checked;
}

Checked complain(const std::string& file, const std::vector<Error>& mistakes) {
  Checked checked;
  checked.code = std::ifstream(file) ? ExitCode::bad_data : ExitCode::no_input;
  json::array found;
  for (const Error& mistake : mistakes) {
    checked.text += mistake.line() + "\n";
    found.push_back(json::object{{"where", mistake.where}, {"what", mistake.what}, {"mend", mistake.mend}});
  }
  checked.body = {{"file", file}, {"is_right", false}, {"mistakes", std::move(found)}};
  return checked;
}

}  // namespace

ExitCode profile_check(const ClientOptions& client, const ProfileCheckOptions& options) {
  ExitCode code = ExitCode::ok;
  json::array bodies;
  for (const std::string& file : options.files) {
    const auto profile = load_profile(file);
    Checked checked = profile ? describe(file, *profile) : complain(file, profile.error());
    if (code != ExitCode::bad_data && checked.code != ExitCode::ok) code = checked.code;
    if (client.json) {
      bodies.push_back(std::move(checked.body));
    } else {
      std::cout << checked.text;
    }
  }
  if (client.json) std::cout << json::serialize(bodies) << "\n";
  return std::cout.flush() ? code : ExitCode::io;
}

}  // namespace leadwright
