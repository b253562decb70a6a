// SPDX-License-Identifier: Apache-2.0
// The files of the page, built into the program. Pure; any thread.
#pragma once

#include <string_view>

#include "daemon/web/reply.h"

namespace leadwright {

struct Asset {
  std::string_view path;
  std::string_view content_type;
  std::string_view bytes;
};

/// The file that the route table lists at `path`; an empty one if the table and the page disagree, which a
/// test rules out.
const Asset& asset_at(std::string_view path);

/// The file as an answer that a browser keeps, and asks about each time.
Reply asset_reply(std::string_view path);

}  // namespace leadwright
