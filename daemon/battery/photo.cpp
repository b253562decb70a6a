// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/photo.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

namespace leadwright {

std::string shown(PhotoId id) {
  return fmt::format("H-{:06d}", static_cast<std::int64_t>(id));
}

Result<PhotoId> parse_photo_id(std::string_view text) {
  std::int64_t value = 0;
  const std::string_view number = text.substr(std::min<std::size_t>(text.size(), 2));
  const auto [end, error] = std::from_chars(number.data(), number.data() + number.size(), value);
  if (error == std::errc() && value >= 1 && shown(PhotoId{value}) == text) return PhotoId{value};
  return fail(Errc::bad_input, '"' + std::string(text.substr(0, 40)) + "\" is not a photo's number", "photo",
              "write it as the ticket shows it, for example " + shown(PhotoId{123}));
}

}  // namespace leadwright
