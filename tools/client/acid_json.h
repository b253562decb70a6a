// SPDX-License-Identifier: Apache-2.0
// A hydrometer's readings from the command line, as JSON. Inside this folder's .cpp files only, since it
// names Boost.
#pragma once

#include <boost/json/object.hpp>

#include "protocol/result.h"
#include "tools/client/options.h"

namespace leadwright {

/// Adds "acid" to an inspection where readings were given. Fails with bad_input for what is no number, and
/// for readings without their temperature.
Result<void> set_acid(boost::json::object& inspection, const AcidOptions& options);

}  // namespace leadwright
