// SPDX-License-Identifier: Apache-2.0
// Bytes of page/*; the definition is made by embed.cmake at build time. Inside this folder only.
#pragma once

#include <span>
#include <string_view>

namespace leadwright {

struct PageFile {
  std::string_view name;  ///< "page.js"
  std::string_view bytes;
  std::string_view gzip;  ///< the same, packed (RFC 1952)
};

std::span<const PageFile> page_files();

}  // namespace leadwright
