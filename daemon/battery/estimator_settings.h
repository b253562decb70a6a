// SPDX-License-Identifier: Apache-2.0
// Reads config/estimator.toml: what the estimator believes without having measured it, each value marked in
// the file.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "daemon/battery/findings.h"

namespace leadwright {

/// All mistakes at once: unknown keys, values outside what is physically possible.
tl::expected<EstimatorSettings, std::vector<Error>> read_estimator_settings(std::string_view text,
                                                                            const std::string& file);

/// As above, from a file; one that can't be read is one error.
tl::expected<EstimatorSettings, std::vector<Error>> load_estimator_settings(const std::string& path);

}  // namespace leadwright
