// SPDX-License-Identifier: Apache-2.0
// Server-sent events from bytes (WHATWG HTML, section 9.2.6 "Interpreting an event stream"). Pure; any
// thread.
#pragma once

#include <functional>
#include <string>
#include <string_view>

#include "tools/client/http_client.h"

namespace leadwright {

/// Takes a stream in pieces cut anywhere and gives whole events. Lines end with LF or CR LF; a lone CR, which
/// our daemon never sends, does not end a line. Comments, `id` and `retry` are skipped.
class EventReader {
 public:
  void feed(std::string_view bytes, const std::function<void(const HttpEvent&)>& take);

 private:
  void line(std::string_view text, const std::function<void(const HttpEvent&)>& take);
  std::string pending_;
  std::string name_;
  std::string data_;
  bool has_data_ = false;
};

}  // namespace leadwright
