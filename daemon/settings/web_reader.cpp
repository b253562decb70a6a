// SPDX-License-Identifier: Apache-2.0
#include "daemon/settings/web_reader.h"

#include <arpa/inet.h>

#include <algorithm>
#include <array>

namespace leadwright {

namespace {

constexpr std::size_t name_length_max = 255;

bool is_loopback(const std::string& address) {
  in_addr v4{};
  if (::inet_pton(AF_INET, address.c_str(), &v4) == 1) return (ntohl(v4.s_addr) >> 24) == 127;
  in6_addr v6{};
  return ::inet_pton(AF_INET6, address.c_str(), &v6) == 1 && IN6_IS_ADDR_LOOPBACK(&v6);
}

bool is_address(const std::string& address) {
  std::array<unsigned char, 16> any{};
  return ::inet_pton(AF_INET, address.c_str(), any.data()) == 1 ||
         ::inet_pton(AF_INET6, address.c_str(), any.data()) == 1;
}

/// "bench.example", "bench.example:8443", "192.0.2.7:8417"
bool is_authority(const std::string& name) {
  constexpr std::string_view others = ".-:[]";
  const auto fits = [&](char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || others.find(c) != std::string_view::npos;
  };
  return !name.empty() && name.size() <= name_length_max && std::ranges::all_of(name, fits);
}

void check_access(const TomlTable& web, const Settings& settings) {
  if (settings.web_behind_proxy && !settings.web_asks_for_tokens) {
    web.error("behind_proxy", "to the bench whoever comes through the proxy is on this machine",
              "add access = \"tokens\"");
  }
  const std::string& address = settings.web_address;
  if (!is_address(address) || is_loopback(address)) return;
  if (!settings.web_asks_for_tokens || !settings.web_behind_proxy) {
    web.error("address", "listening beyond this machine needs tokens, and TLS in front of it",
              "write 127.0.0.1, or access = \"tokens\" and behind_proxy = true with a proxy that does TLS");
  }
}

}  // namespace

void read_web(const TomlTable& web, Settings& settings) {
  if (const auto address = web.string("address")) {
    settings.web_address = *address;
    if (!is_address(*address)) {
      web.error("address", "\"" + *address + "\" is not a numeric address", "write 127.0.0.1");
    }
  }
  if (const auto port = web.integer("port")) {
    if (*port < 0 || *port > 65'535) web.error("port", "not a port", "0 to 65535; 0 lets the kernel choose");
    settings.web_port = static_cast<std::uint16_t>(*port);
  }
  if (const auto access = web.string("access")) {
    settings.web_asks_for_tokens = *access == "tokens";
    if (*access != "local" && *access != "tokens") {
      web.error("access", "\"" + *access + "\" is no kind of access", "local or tokens");
    }
  }
  if (const auto behind = web.boolean("behind_proxy")) settings.web_behind_proxy = *behind;
  if (web.has("names")) {
    settings.web_names = web.strings("names");
    for (const std::string& name : settings.web_names) {
      if (is_authority(name)) continue;
      web.error("names", "\"" + name + "\" is no name of a host",
                "as a browser sends it: bench.example, or bench.example:8443");
    }
  }
  check_access(web, settings);
}

}  // namespace leadwright
