// SPDX-License-Identifier: Apache-2.0
#include "tools/client/event_reader.h"

namespace leadwright {

void EventReader::feed(std::string_view bytes, const std::function<void(const HttpEvent&)>& take) {
  pending_.append(bytes);
  std::size_t start = 0;
  for (auto end = pending_.find('\n'); end != std::string::npos; end = pending_.find('\n', start)) {
    std::string_view text = std::string_view(pending_).substr(start, end - start);
    if (!text.empty() && text.back() == '\r') text.remove_suffix(1);
    line(text, take);
    start = end + 1;
  }
  pending_.erase(0, start);
}

void EventReader::line(std::string_view text, const std::function<void(const HttpEvent&)>& take) {
  if (text.empty()) {
    if (has_data_) take({name_.empty() ? std::string_view("message") : name_, data_});
    name_.clear();
    data_.clear();
    has_data_ = false;
    return;
  }
  const auto colon = text.find(':');
  const auto field = text.substr(0, colon);
  auto value = colon == std::string_view::npos ? std::string_view() : text.substr(colon + 1);
  if (!value.empty() && value.front() == ' ') value.remove_prefix(1);
  if (field == "event") {
    name_ = value;
  } else if (field == "data") {
    if (has_data_) data_ += '\n';
    data_ += value;
    has_data_ = true;
  }
}

}  // namespace leadwright
