// SPDX-License-Identifier: Apache-2.0
// A PDF or SVG of one page, in memory. Private to this folder: it shows the drawing library.
#pragma once

#include <functional>
#include <string>

#include "daemon/certificate/document.h"
#include "daemon/certificate/sheet.h"

namespace leadwright {

/// What a file says of itself, outside of its page. `keywords` lie in it as they are.
struct FileWords {
  std::string title;
  std::string keywords;
  std::string created_at;  ///< RFC 3339
};

/// Fails with bug if the drawing library does.
Result<std::string> drawn(Drawing drawing, const SheetFrame& paper, const FileWords& words,
                          const std::function<void(Sheet&)>& draw);

}  // namespace leadwright
