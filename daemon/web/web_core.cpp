// SPDX-License-Identifier: Apache-2.0
#include "daemon/web/web_core.h"

#include <algorithm>
#include <boost/asio/buffer.hpp>
#include <boost/asio/ip/address.hpp>
#include <boost/asio/post.hpp>
#include <chrono>
#include <string_view>

#include "daemon/web/past_runs.h"
#include "daemon/web/reply.h"

namespace leadwright {
namespace {

namespace asio = boost::asio;
using asio::ip::tcp;

constexpr int connections_max = 256;
constexpr std::size_t streams_max = 128;
constexpr std::chrono::seconds heartbeat_every{10};
constexpr std::chrono::milliseconds accept_pause{200};
constexpr std::string_view full =
    "HTTP/1.1 503 Service Unavailable\r\nConnection: close\r\nContent-Type: application/problem+json\r\n"
    "Retry-After: 5\r\n\r\n"
    R"({"type":"about:blank","title":"the bench can't answer now","status":503,"code":"busy",)"
    R"("detail":"as many connections are open as the bench serves","where":"","mend":"try again soon"})";

std::string as_event(std::uint64_t number, std::string_view snapshot) {
  std::string event = "id: " + std::to_string(number) + "\nevent: bench\n";
  for (std::size_t start = 0; start <= snapshot.size();) {
    const auto end = std::min(snapshot.find('\n', start), snapshot.size());
    event.append("data: ").append(snapshot.substr(start, end - start)).append("\n");
    start = end + 1;
  }
  return event + "\n";
}

tl::unexpected<Error> cannot_listen(const boost::system::error_code& error, const WebSettings& settings) {
  const std::string where = settings.address + ":" + std::to_string(settings.port);
  if (error == asio::error::address_in_use) {
    return fail(Errc::busy, "the port is taken", where,
                "stop the other program or choose another [web] port");
  }
  return fail(Errc::io, "can't listen (" + error.message() + ")", where,
              "choose another [web] address or port");
}

}  // namespace

WebCore::WebCore(WebBridge bridge) : bridge_(std::move(bridge)) {}

Result<void> WebCore::listen(const WebSettings& settings) {
  boost::system::error_code error;
  const auto address = asio::ip::make_address(settings.address, error);
  if (error) {
    return fail(Errc::bad_input, "this is not an IP address", settings.address, "use 127.0.0.1 or ::1");
  }
  if (!address.is_loopback() && (settings.tokens_in.empty() || !settings.behind_proxy)) {
    return fail(Errc::refused, "beyond this machine the page is served with tokens and behind a proxy only",
                settings.address, "use 127.0.0.1 or ::1, or set access and behind_proxy");
  }
  const tcp::endpoint endpoint(address, settings.port);
  if (acceptor_.open(endpoint.protocol(), error); error) return cannot_listen(error, settings);
  if (acceptor_.set_option(tcp::acceptor::reuse_address(true), error); error)
    return cannot_listen(error, settings);
  if (acceptor_.bind(endpoint, error); error) return cannot_listen(error, settings);
  if (acceptor_.listen(asio::socket_base::max_listen_connections, error); error) {
    return cannot_listen(error, settings);
  }
  const auto bound = acceptor_.local_endpoint(error);
  if (error) return cannot_listen(error, settings);
  port_ = bound.port();
  access_ = {port_, settings.names, settings.behind_proxy, {}};
  if (!settings.tokens_in.empty()) access_.tokens = std::make_shared<Tokens>(settings.tokens_in);
  const std::string host = address.to_string();
  authority_ = (address.is_v6() ? "[" + host + "]" : host) + ":" + std::to_string(port_);
  return {};
}

void WebCore::run() {
  accept();
  arm_heartbeat();
  context_.run();
}

void WebCore::accept() {
  acceptor_.async_accept([this](const boost::system::error_code& error, tcp::socket socket) {
    if (error == asio::error::operation_aborted) return;
    if (error) return accept_later();
    taken(std::move(socket));
    accept();
  });
}

/// Out of descriptors: trying again at once would only spin.
void WebCore::accept_later() {
  pause_.expires_after(accept_pause);
  pause_.async_wait([this](const boost::system::error_code& error) {
    if (!error) accept();
  });
}

void WebCore::taken(tcp::socket socket) {
  boost::system::error_code ignored;
  if (connections_ >= connections_max && !awaited_.empty()) {
    Awaited* const slowest = awaited_.front();
    heard_from(*slowest);
    slowest->give_way();
  } else if (connections_ >= connections_max) {
    socket.non_blocking(true, ignored);
    socket.write_some(asio::buffer(full), ignored);
    return;
  }
  socket.set_option(tcp::no_delay(true), ignored);
  ++connections_;
  serve(std::move(socket), *this);
}

void WebCore::is_awaited(Awaited& connection) {
  heard_from(connection);
  awaited_.push_back(&connection);
}

void WebCore::arm_heartbeat() {
  heartbeat_.expires_after(heartbeat_every);
  heartbeat_.async_wait([this](const boost::system::error_code& error) {
    if (error) return;
    const auto streams = streams_;
    for (auto* stream : streams) stream->beat();
    arm_heartbeat();
  });
}

void WebCore::publish(std::string snapshot) {
  auto shared = std::make_shared<const std::string>(std::move(snapshot));
  asio::post(context_, [this, shared = std::move(shared)]() mutable {
    snapshot_ = std::move(shared);
    event_ = std::make_shared<const std::string>(as_event(++event_number_, *snapshot_));
    const auto streams = streams_;
    for (auto* stream : streams) stream->push();
  });
}

std::function<void(Response)> WebCore::carried(std::function<void(Response)> back) {
  // A weak hold, since the answer may come after the server has ended.
  return [weak = weak_from_this(), back = std::move(back)](Response response) {
    const auto core = weak.lock();
    if (!core) return;
    asio::post(core->context_, [back, response = std::move(response)] { back(response); });
  };
}

void WebCore::ask(Request request, std::function<void(Response)> back) {
  auto answer = carried(std::move(back));
  bridge_.control.post([&service = bridge_.service, request = std::move(request),
                        answer = std::move(answer)] { service.handle(request, answer); });
}

void WebCore::draw(const Request& request, std::function<void(Response)> back) {
  if (bridge_.papers) return bridge_.papers(request, carried(std::move(back)));
  back(
      {503, problem(503, {Errc::busy, "no papers are drawn here", "", "leadwright certificate write"}).body});
}

Response WebCore::look_back(const Request& request, Response unknown) {
  if (!bridge_.past) return unknown;
  return request.verb == "photo.show" ? bridge_.past->photo(request) : bridge_.past->trace(request);
}

bool WebCore::join(EventStream& stream) {
  if (streams_.size() >= streams_max) return false;
  streams_.push_back(&stream);
  return true;
}

void WebCore::leave(EventStream& stream) {
  streams_.erase(std::remove(streams_.begin(), streams_.end(), &stream), streams_.end());
}

int WebCore::next_retry_ms() {
  constexpr std::uint32_t spread_ms = 2000;
  joined_ += 1;
  return static_cast<int>(1000U + joined_ * 617U % spread_ms);
}

}  // namespace leadwright
