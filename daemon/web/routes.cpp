// SPDX-License-Identifier: Apache-2.0
#include "daemon/web/routes.h"

#include <algorithm>
#include <charconv>

#include "protocol/utf8.h"

namespace leadwright {
namespace {

bool matches(std::string_view pattern, std::string_view path, std::string& subject) {
  const auto hole = pattern.find('{');
  if (hole == std::string_view::npos) return pattern == path;
  const auto head = pattern.substr(0, hole);
  const auto tail = pattern.substr(pattern.find('}') + 1);
  if (path.size() <= head.size() + tail.size()) return false;
  if (path.substr(0, head.size()) != head) return false;
  if (path.substr(path.size() - tail.size()) != tail) return false;
  const auto segment = path.substr(head.size(), path.size() - head.size() - tail.size());
  if (segment.find('/') != std::string_view::npos) return false;
  return percent_decode(segment, subject);
}

}  // namespace

std::string_view Route::media() const {
  if (kind == RouteKind::paper) return pattern.ends_with(".pdf") ? "application/pdf" : "image/svg+xml";
  if (verb == "photo.show") return "image/jpeg";
  if (kind == RouteKind::events) return "text/event-stream";
  if (verb == "metrics") return "text/plain; version=0.0.4; charset=utf-8";
  return "application/json";
}

std::vector<std::string_view> words_of(std::string_view list) {
  std::vector<std::string_view> words;
  while (!list.empty()) {
    const auto end = std::min(list.find(' '), list.size());
    words.push_back(list.substr(0, end));
    list.remove_prefix(std::min(end + 1, list.size()));
  }
  return words;
}

RouteMatch match_route(RouteKey key) {
  RouteMatch match;
  for (const auto& route : routes()) {
    std::string subject;
    if (!matches(route.pattern, key.path, subject)) continue;
    match.allow += match.allow.empty() ? "" : ", ";
    match.allow += route.method;
    if (route.method != key.method) continue;
    match.route = &route;
    match.subject = std::move(subject);
  }
  return match;
}

bool percent_decode(std::string_view text, std::string& out) {
  out.clear();
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] != '%') {
      out += text[i];
      continue;
    }
    if (i + 2 >= text.size()) return false;
    unsigned value = 0;
    const char* const first = text.data() + i + 1;
    const auto [end, error] = std::from_chars(first, first + 2, value, 16);
    if (error != std::errc() || end != first + 2) return false;
    out += static_cast<char>(value);
    i += 2;
  }
  return is_clean_text(out);
}

}  // namespace leadwright
