// SPDX-License-Identifier: Apache-2.0
// Bytes of page/* and api/*; the definitions are made by embed.cmake at build time. Inside this folder only.
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
/// Parts of the OpenAPI document, each an object of schemas, headers or parameters.
std::span<const PageFile> api_files();

}  // namespace leadwright
