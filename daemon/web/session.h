// SPDX-License-Identifier: Apache-2.0
// One connection: header, verdict by header, body, answer; again, or a stream of events. Keeps itself alive.
// Thread: web. Inside this folder only. Read next: session.cpp (answers), session_stream.cpp (streams).
#pragma once

#include <array>
#include <boost/asio/steady_timer.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/core/tcp_stream.hpp>
#include <boost/beast/http.hpp>
#include <chrono>
#include <memory>
#include <optional>
#include <string>

#include "daemon/web/admit.h"
#include "daemon/web/web_core.h"

namespace leadwright {

constexpr std::uint32_t header_size_max = 8192;
constexpr std::chrono::seconds write_time_max{20};

class Session final : public EventStream, public Awaited, public std::enable_shared_from_this<Session> {
 public:
  Session(boost::asio::ip::tcp::socket socket, WebCore& core)
      : core_(core), stream_(std::move(socket)), wait_(core.context()) {}
  ~Session() override {
    if (is_stream_) core_.leave(*this);
    core_.heard_from(*this);
    core_.connection_ended();
  }

  void read_header();
  void push() override;
  void beat() override;
  void give_way() override { close(); }

 private:
  void judge();
  void read_body();
  void refuse_body();
  void dispatch();
  void ask_others();
  void write(Reply reply);
  void start_stream();
  void watch_for_hang_up();
  void say(std::shared_ptr<const std::string> text);
  void linger();
  void failed_to_read(const boost::system::error_code& error);
  void close();

  WebCore& core_;
  boost::beast::tcp_stream stream_;
  boost::beast::flat_buffer buffer_{header_size_max + body_size_max};
  std::optional<boost::beast::http::request_parser<boost::beast::http::string_body>> parser_;
  Admitted admitted_;
  boost::asio::steady_timer wait_;  ///< for an answer of another thread
  std::uint64_t question_ = 0;
  boost::beast::http::response<boost::beast::http::string_body> response_;
  std::array<char, 2048> waste_{};
  std::size_t wasted_ = 0;
  bool is_stream_ = false;
  bool is_saying_ = false;
  bool is_behind_ = false;
};

std::string_view view(boost::beast::string_view text);

/// Security headers, the type, and what else an answer has.
template <class Message>
void dress(Message& message, std::string_view content_type, const HeaderLines& more) {
  for (const auto& [name, value] : security_headers())
    message.set(boost::beast::string_view(name.data(), name.size()), value);
  message.set(boost::beast::http::field::content_type,
              boost::beast::string_view(content_type.data(), content_type.size()));
  for (const auto& [name, value] : more)
    message.set(boost::beast::string_view(name.data(), name.size()), value);
}

}  // namespace leadwright
