// SPDX-License-Identifier: Apache-2.0
// The files of the page, built into the program. Pure; any thread.
#pragma once

#include <string_view>

#include "daemon/web/reply.h"

namespace leadwright {

struct Asset {
  std::string_view content_type;
  std::string_view bytes;
  std::string_view gzip;
};

/// The file that the route table lists at `path`; an empty one if the table and the page disagree, which a
/// test rules out.
Asset asset_at(std::string_view path);

/// Whether a client that sent this Accept-Encoding takes gzip (RFC 9110, 12.5.3).
bool takes_gzip(std::string_view accept_encoding);

/// The file as an answer that a browser keeps and asks about each time, packed for whoever takes that.
Reply asset_reply(std::string_view path, std::string_view accept_encoding);

}  // namespace leadwright
