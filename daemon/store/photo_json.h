// SPDX-License-Identifier: Apache-2.0
// A photo as it is handed in: JSON with the JPEG as base64 (RFC 4648, section 4). Pure; any thread.
#pragma once

#include <string>
#include <string_view>

#include "daemon/battery/photo.h"
#include "protocol/result.h"

namespace leadwright {

struct HandedPhoto {
  std::string about;  ///< empty if nothing was said of it
  std::string jpeg;   ///< without what a camera writes beside the picture: protocol/jpeg.h
};

/// {"about","jpeg"}. bad_input with every mistake in `what`, as parse_fitting.
Result<HandedPhoto> parse_photo(std::string_view json);
/// What parse_photo reads.
std::string photo_json(const HandedPhoto& photo);

}  // namespace leadwright
