// SPDX-License-Identifier: Apache-2.0
// The cautions that show at intake, before energy and on the certificate (design.md, section 12).
#pragma once

#include <string>
#include <vector>

namespace leadwright {

/// Plain sentences; they defer to local codes, the battery maker and licensed practice.
const std::vector<std::string>& cautions();

}  // namespace leadwright
