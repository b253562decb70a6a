// SPDX-License-Identifier: Apache-2.0
#include "tools/client/profile_commands.h"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "drivers/profile.h"
#include "tools/client/checked_file.h"
#include "tools/client/instrument/profile_words.h"

namespace leadwright {

namespace {

namespace json = boost::json;

json::array lines_of(const std::vector<std::string>& lines) {
  return json::array(lines.begin(), lines.end());
}

CheckedFile describe(const std::string& file, const Profile& profile) {
  const ProfileAccount account = account_of(profile);
  CheckedFile checked;
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

}  // namespace

ExitCode profile_check(const ClientOptions& client, const ProfileCheckOptions& options) {
  return check_files(options.files, client.json, [](const std::string& file) {
    const auto profile = load_profile(file);
    return profile ? describe(file, *profile) : wrong_file(file, profile.error());
  });
}

}  // namespace leadwright
