// SPDX-License-Identifier: Apache-2.0
#include "drivers/tcp_link.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <sys/socket.h>
#include <unistd.h>

#include <cerrno>
#include <charconv>
#include <cstring>
#include <optional>
#include <system_error>

namespace leadwright {

namespace {

// An instrument that vanished is noticed within about 11 s while idle, within 3 s once bytes are out.
constexpr int keepalive_idle_s = 5;
constexpr int keepalive_interval_s = 2;
constexpr int keepalive_count = 3;
constexpr int unacknowledged_max_ms = 3000;

struct SocketAddress {
  sockaddr_storage storage{};
  socklen_t size = 0;
};

std::optional<SocketAddress> socket_address(const std::string& target) {
  const std::size_t colon = target.rfind(':');
  std::string host = target.substr(0, colon);
  std::uint16_t port = 0;
  const char* end = target.data() + target.size();
  const auto [read_to, error] = std::from_chars(target.data() + colon + 1, end, port);
  if (error != std::errc() || read_to != end || port == 0) return std::nullopt;
  if (host == "localhost") host = "127.0.0.1";
  SocketAddress result;
  sockaddr_in v4{};
  if (::inet_pton(AF_INET, host.c_str(), &v4.sin_addr) == 1) {
    v4.sin_family = AF_INET;
    v4.sin_port = htons(port);
    std::memcpy(&result.storage, &v4, sizeof v4);
    result.size = sizeof v4;
    return result;
  }
  if (host.size() > 2 && host.front() == '[' && host.back() == ']') host = host.substr(1, host.size() - 2);
  sockaddr_in6 v6{};
  if (::inet_pton(AF_INET6, host.c_str(), &v6.sin6_addr) != 1) return std::nullopt;
  v6.sin6_family = AF_INET6;
  v6.sin6_port = htons(port);
  std::memcpy(&result.storage, &v6, sizeof v6);
  result.size = sizeof v6;
  return result;
}

void set_option(int descriptor, int level, int option, int value) {
  ::setsockopt(descriptor, level, option, &value, sizeof value);
}

void tune(int descriptor) {
  set_option(descriptor, IPPROTO_TCP, TCP_NODELAY, 1);
  set_option(descriptor, SOL_SOCKET, SO_KEEPALIVE, 1);
  set_option(descriptor, IPPROTO_TCP, TCP_KEEPIDLE, keepalive_idle_s);
  set_option(descriptor, IPPROTO_TCP, TCP_KEEPINTVL, keepalive_interval_s);
  set_option(descriptor, IPPROTO_TCP, TCP_KEEPCNT, keepalive_count);
  set_option(descriptor, IPPROTO_TCP, TCP_USER_TIMEOUT, unacknowledged_max_ms);
}

tl::unexpected<Error> connect_error(int error, const std::string& name) {
  const std::string text = std::generic_category().message(error);
  return fail(Errc::not_found, "can't connect: " + text, name,
              "switch the instrument on, and check its address and port");
}

}  // namespace

TcpLink::TcpLink(AsioLoop& loop, Clock& machine, const LinkAddress& address)
    : name_(address.text()),
      target_(address.target),
      machine_(machine),
      stream_(loop, machine, name_, [this](bool outward, std::string_view bytes) {
        if (tap) tap(name_, outward, bytes, machine_.now());
      }) {}

Task<Result<void>> TcpLink::open(Instant deadline) {
  if (is_open()) co_return fail(Errc::busy, "already open", name_);
  const auto address = socket_address(target_);
  if (!address) {
    co_return fail(Errc::bad_input, "not a numeric address with a port", name_, "write tcp:192.0.2.7:5025");
  }
  const int descriptor = ::socket(address->storage.ss_family, SOCK_STREAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0);
  if (descriptor < 0) co_return connect_error(errno, name_);
  tune(descriptor);
  sockaddr_storage storage = address->storage;
  const int connected = ::connect(descriptor, reinterpret_cast<sockaddr*>(&storage), address->size);
  if (connected != 0 && errno != EINPROGRESS) {
    const int error = errno;
    ::close(descriptor);
    co_return connect_error(error, name_);
  }
  int error = 0;
  if (connected != 0) {
    // The pump may start only on a made connection: before, the descriptor counts as hung up.
    Result<void> adopted = stream_.adopt(descriptor, FdStream::Pump::later);
    if (!adopted) co_return adopted;
    const bool is_decided = co_await stream_.writable(deadline);
    if (!is_open()) co_return fail(Errc::link_lost, "closed while connecting", name_);
    socklen_t size = sizeof error;
    ::getsockopt(descriptor, SOL_SOCKET, SO_ERROR, &error, &size);
    if (!is_decided || error != 0) stream_.close();
    if (!is_decided)
      co_return fail(Errc::timed_out, "no connection in time", name_, "check power and network");
    if (error != 0) co_return connect_error(error, name_);
    stream_.start();
    co_return Result<void>();
  }
  co_return stream_.adopt(descriptor);
}

Task<Result<void>> TcpLink::write(std::string_view bytes, Instant deadline) {
  return stream_.write(bytes, deadline);
}

Task<Result<std::size_t>> TcpLink::read(std::span<char> into, Instant deadline) {
  return stream_.read(into, deadline);
}

}  // namespace leadwright
