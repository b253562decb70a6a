// SPDX-License-Identifier: Apache-2.0
// Numbers, times and settings of a profile as people read them. Pure.
#pragma once

#include <string>
#include <vector>

#include "drivers/profile.h"

namespace leadwright {

/// As short as it reads back: "14.4".
std::string number(double value);
/// "250 ms".
std::string ms(Second time);
/// "0.02 A", "1 % of it" or "0.1 A or 1 % of it, whichever is more".
std::string tolerance(double absolute, double relative, const char* unit);
/// "serial or usbtmc or tcp".
std::string kinds(const LinkNeeds& link);
/// "9600 8N1".
std::string settings_of(const SerialSettings& serial);
std::string listed(const std::vector<std::string>& parts, const char* between);

}  // namespace leadwright
