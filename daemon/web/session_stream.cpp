// SPDX-License-Identifier: Apache-2.0
// A connection that has become a stream of server-sent events.
#include <boost/asio/write.hpp>

#include "daemon/web/session.h"

namespace leadwright {
namespace {

namespace asio = boost::asio;
namespace http = boost::beast::http;

}  // namespace

void Session::start_stream() {
  if (!core_.join(*this)) {
    Reply reply = problem(429, {Errc::busy, "as many pages are open as the bench serves", "",
                                "close some pages and try again"});
    reply.more.emplace_back("Retry-After", "10");
    return write(std::move(reply));
  }
  is_stream_ = true;
  http::response<http::empty_body> head(http::status::ok, 11);
  dress(head, "text/event-stream", {{"Connection", "close"}});
  std::string text = "HTTP/1.1 200 OK\r\n";
  for (const auto& line : head) {
    text.append(view(line.name_string())).append(": ").append(view(line.value())).append("\r\n");
  }
  text.append("\r\nretry: ").append(std::to_string(core_.next_retry_ms())).append("\n\n");
  if (core_.event()) text.append(*core_.event());
  stream_.expires_never();
  watch_for_hang_up();
  say(std::make_shared<const std::string>(std::move(text)));
}

void Session::watch_for_hang_up() {
  stream_.async_read_some(asio::buffer(waste_), [self = shared_from_this()](const boost::system::error_code&,
                                                                            std::size_t) { self->close(); });
}

void Session::say(std::shared_ptr<const std::string> text) {
  is_saying_ = true;
  stream_.expires_after(write_time_max);
  const auto bytes = asio::buffer(*text);
  asio::async_write(stream_, bytes,
                    [self = shared_from_this(), text = std::move(text)](
                        const boost::system::error_code& error, std::size_t) {
                      self->is_saying_ = false;
                      if (error) return self->close();
                      if (!self->is_behind_) return;
                      self->is_behind_ = false;
                      self->say(self->core_.event());
                    });
}

void Session::push() {
  if (is_saying_) {
    is_behind_ = true;
  } else {
    say(core_.event());
  }
}

void Session::beat() {
  static const auto comment = std::make_shared<const std::string>(": still here\nevent: beat\ndata: {}\n\n");
  const auto& tokens = core_.access().tokens;
  if (tokens && !tokens->holder(admitted_.token)) return close();  // revoked
  if (!is_saying_) say(comment);
}

}  // namespace leadwright
