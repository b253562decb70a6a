// SPDX-License-Identifier: Apache-2.0
// A photo as a camera writes it, without what it writes beside the picture. Pure; any thread.
#pragma once

#include <string>
#include <string_view>

#include "protocol/result.h"

namespace leadwright {

/// The same picture without the segments that say where, when and with what it was taken (APP1 to APP13,
/// APP15, comments) and without what follows its end. Those that say how to read it stay (ITU-T T.81, annex
/// B: JFIF's APP0 and the colour transform of APP14). Fails with bad_input for what is no JPEG; the picture
/// itself is not decoded.
Result<std::string> bare_jpeg(std::string_view file);

}  // namespace leadwright
