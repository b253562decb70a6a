// SPDX-License-Identifier: Apache-2.0
// The file of a learnt as-new curve, TOML: what it belongs to, how many batteries are behind it, the volts. A
// later version replaces an earlier one of the same key. Pure; any thread.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "daemon/battery/design_curve.h"

namespace leadwright {

/// The same curve gives the same text.
std::string text(const DesignCurve& curve);

/// All mistakes at once: unknown keys, too few batteries, volts that are none of a lead cell or that rise
/// towards the end.
tl::expected<DesignCurve, std::vector<Error>> read_design_curve(std::string_view text,
                                                                const std::string& file);

/// As above, from a file; one that can't be read is one error.
tl::expected<DesignCurve, std::vector<Error>> load_design_curve(const std::string& path);

/// Every .toml file of a folder, by name; none if there is no such folder.
tl::expected<std::vector<DesignCurve>, std::vector<Error>> load_design_curves(const std::string& folder);

/// The newest version of that key; null if there is none.
const DesignCurve* newest_of(const std::vector<DesignCurve>& curves, const DesignKey& key);

}  // namespace leadwright
