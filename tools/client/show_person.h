// SPDX-License-Identifier: Apache-2.0
// People as text for people. Each gives the body itself if it can't be read. Pure; any thread.
#pragma once

#include <string>

namespace leadwright {

std::string show_people(const std::string& body);  ///< of person.list
std::string show_erased(const std::string& body);  ///< of person.erase

}  // namespace leadwright
