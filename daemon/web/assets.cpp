// SPDX-License-Identifier: Apache-2.0
#include "daemon/web/assets.h"

#include <array>

#include "daemon/web/page_bytes.h"

namespace leadwright {

const Asset& asset_at(std::string_view path) {
  constexpr std::string_view script = "text/javascript; charset=utf-8";
  static const std::array assets{
      Asset{"/", "text/html; charset=utf-8", page_bytes::index_html()},
      Asset{"/page.js", script, page_bytes::page_js()},
      Asset{"/api.js", script, page_bytes::api_js()},
      Asset{"/dom.js", script, page_bytes::dom_js()},
      Asset{"/dialog.js", script, page_bytes::dialog_js()},
      Asset{"/places.js", script, page_bytes::places_js()},
      Asset{"/queue.js", script, page_bytes::queue_js()},
      Asset{"/chart.js", script, page_bytes::chart_js()},
      Asset{"/drop_off.js", script, page_bytes::drop_off_js()},
      Asset{"/ticket.js", script, page_bytes::ticket_js()},
      Asset{"/instruments.js", script, page_bytes::instruments_js()},
      Asset{"/page.css", "text/css; charset=utf-8", page_bytes::page_css()},
      Asset{"/icon.svg", "image/svg+xml", page_bytes::icon_svg()},
  };
  static const Asset none{"", "text/plain", ""};
  for (const auto& asset : assets) {
    if (asset.path == path) return asset;
  }
  return none;
}

Reply asset_reply(std::string_view path) {
  const Asset& asset = asset_at(path);
  return {200, asset.content_type, std::string(asset.bytes), {{"Cache-Control", "no-cache"}}, false};
}

}  // namespace leadwright
