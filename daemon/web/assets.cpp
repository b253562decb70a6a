// SPDX-License-Identifier: Apache-2.0
#include "daemon/web/assets.h"

#include <algorithm>

#include "daemon/web/page_bytes.h"
#include "protocol/utf8.h"

namespace leadwright {
namespace {

std::string_view type_of(std::string_view name) {
  if (name.ends_with(".html")) return "text/html; charset=utf-8";
  if (name.ends_with(".css")) return "text/css; charset=utf-8";
  if (name.ends_with(".svg")) return "image/svg+xml";
  return "text/javascript; charset=utf-8";
}

/// "gzip", "gzip;q=0.5"; not "gzip;q=0".
bool is_gzip(std::string_view coding) {
  const auto semicolon = coding.find(';');
  if (trimmed(coding.substr(0, semicolon)) != "gzip") return false;
  if (semicolon == std::string_view::npos) return true;
  const std::string_view weight = trimmed(coding.substr(semicolon + 1));
  return weight.starts_with("q=") && weight.find_first_of("123456789") != std::string_view::npos;
}

}  // namespace

Asset asset_at(std::string_view path) {
  const std::string_view name = path == "/" ? "index.html" : path.substr(1);
  const auto files = page_files();
  const auto found = std::ranges::find(files, name, &PageFile::name);
  if (found == files.end()) return {"text/plain", {}, {}};
  return {type_of(name), found->bytes, found->gzip};
}

bool takes_gzip(std::string_view accept_encoding) {
  while (!accept_encoding.empty()) {
    const auto comma = accept_encoding.find(',');
    if (is_gzip(accept_encoding.substr(0, comma))) return true;
    if (comma == std::string_view::npos) break;
    accept_encoding.remove_prefix(comma + 1);
  }
  return false;
}

Reply asset_reply(std::string_view path, std::string_view accept_encoding) {
  const Asset asset = asset_at(path);
  Reply reply{200,
              asset.content_type,
              std::string(asset.bytes),
              {{"Cache-Control", "no-cache"}, {"Vary", "Accept-Encoding"}},
              false};
  if (takes_gzip(accept_encoding)) {
    reply.body = asset.gzip;
    reply.more.emplace_back("Content-Encoding", "gzip");
  }
  return reply;
}

}  // namespace leadwright
