// SPDX-License-Identifier: Apache-2.0
// One connection: header, verdict by header, body, answer; again, or a stream of events.
#include <array>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/write.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/core/tcp_stream.hpp>
#include <boost/beast/http.hpp>
#include <chrono>
#include <optional>

#include "daemon/web/admit.h"
#include "daemon/web/assets.h"
#include "daemon/web/openapi.h"
#include "daemon/web/web_core.h"

namespace leadwright {
namespace {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = beast::http;
using std::chrono::seconds;

constexpr std::uint32_t header_size_max = 8192;
constexpr std::uint64_t body_size_max = 65536;
constexpr std::size_t lingering_size_max = 1048576;
constexpr seconds header_time_max{20};
constexpr seconds body_time_max{15};
constexpr seconds answer_time_max{20};
constexpr seconds write_time_max{20};
constexpr seconds lingering_time_max{2};

std::string_view view(beast::string_view text) {
  return {text.data(), text.size()};
}

template <class Message>
void dress(Message& message, std::string_view content_type, const HeaderLines& more) {
  for (const auto& [name, value] : security_headers())
    message.set(beast::string_view(name.data(), name.size()), value);
  message.set(http::field::content_type, beast::string_view(content_type.data(), content_type.size()));
  for (const auto& [name, value] : more) message.set(beast::string_view(name.data(), name.size()), value);
}

class Session final : public EventStream, public std::enable_shared_from_this<Session> {
 public:
  Session(asio::ip::tcp::socket socket, WebCore& core)
      : core_(core), stream_(std::move(socket)), wait_(core.context()) {}
  ~Session() override {
    if (is_stream_) core_.leave(*this);
    core_.connection_ended();
  }

  void read_header();
  void push() override;
  void beat() override;

 private:
  void judge();
  void read_body();
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
  beast::tcp_stream stream_;
  beast::flat_buffer buffer_{header_size_max + body_size_max};
  std::optional<http::request_parser<http::string_body>> parser_;
  Admitted admitted_;
  asio::steady_timer wait_;  ///< for an answer of another thread
  std::uint64_t question_ = 0;
  http::response<http::string_body> response_;
  std::array<char, 2048> waste_{};
  std::size_t wasted_ = 0;
  bool is_stream_ = false;
  bool is_saying_ = false;
  bool is_behind_ = false;
};

void Session::read_header() {
  parser_.emplace();
  parser_->header_limit(header_size_max);
  parser_->body_limit(body_size_max);
  stream_.expires_after(header_time_max);
  http::async_read_header(stream_, buffer_, *parser_,
                          [self = shared_from_this()](const boost::system::error_code& error, std::size_t) {
                            error ? self->failed_to_read(error) : self->judge();
                          });
}

void Session::judge() {
  const auto& message = parser_->get();
  Head head;
  head.method = view(message.method_string());
  head.target = view(message.target());
  head.host_lines = message.count(http::field::host);
  head.host = view(message[http::field::host]);
  head.origin = view(message[http::field::origin]);
  head.fetch_site = view(message["Sec-Fetch-Site"]);
  head.content_type = view(message[http::field::content_type]);
  head.actor = view(message["Leadwright-Actor"]);
  head.idempotency = view(message["Idempotency-Key"]);
  head.has_body = !parser_->is_done();
  auto verdict = admit(head, core_.port());
  if (!verdict) {
    verdict.error().has_to_close = head.has_body;
    return write(std::move(verdict.error()));
  }
  admitted_ = std::move(*verdict);
  read_body();
}

void Session::read_body() {
  if (parser_->is_done()) return dispatch();
  stream_.expires_after(body_time_max);
  http::async_read(stream_, buffer_, *parser_,
                   [self = shared_from_this()](const boost::system::error_code& error, std::size_t) {
                     error ? self->failed_to_read(error) : self->dispatch();
                   });
}

void Session::dispatch() {
  const auto starting = [] {
    return problem(503, {Errc::busy, "the bench is starting", "", "try again in a few seconds"});
  };
  switch (admitted_.route->kind) {
    case RouteKind::service:
    case RouteKind::history:
    case RouteKind::paper:
      return ask_others();
    case RouteKind::events:
      return start_stream();
    case RouteKind::snapshot:
      return write(core_.snapshot() ? Reply{200, "application/json", *core_.snapshot(), {}, false}
                                    : starting());
    case RouteKind::health:
      return write(core_.snapshot() ? Reply{200, "application/json", R"({"status":"ok"})", {}, false}
                                    : starting());
    case RouteKind::document:
      return write({200, admitted_.route->media(), openapi_document(), {}, false});
    case RouteKind::asset: {
      const Asset& asset = asset_at(admitted_.route->pattern);
      return write({200, asset.content_type, std::string(asset.bytes), {}, false});
    }
  }
}

void Session::ask_others() {
  auto& body = parser_->get().body();
  if (const auto checked = check_body(body); !checked) return write(problem(400, checked.error()));
  if (admitted_.route->is_change()) admitted_.request.body = std::move(body);
  stream_.expires_never();
  const auto question = ++question_;
  wait_.expires_after(answer_time_max);
  wait_.async_wait([self = shared_from_this(), question](const boost::system::error_code& error) {
    if (error || question != self->question_) return;
    ++self->question_;
    self->write(problem(503, {Errc::timed_out, "no answer came in time", "", "look at the bench's log"}));
  });
  auto back = [weak = weak_from_this(), question](Response response) {
    const auto self = weak.lock();
    if (!self || question != self->question_) return;
    ++self->question_;
    self->wait_.cancel();
    if (response.status == 404 && self->admitted_.route->kind == RouteKind::history) {
      response = self->core_.look_back(self->admitted_.request, std::move(response));
    }
    self->write(reply_of(*self->admitted_.route, self->admitted_.request, std::move(response)));
  };
  if (admitted_.route->kind == RouteKind::paper) return core_.draw(admitted_.request, std::move(back));
  core_.ask(admitted_.request, std::move(back));
}

void Session::write(Reply reply) {
  response_ = {};
  response_.version(11);
  response_.result(static_cast<unsigned>(reply.status));
  dress(response_, reply.content_type, reply.more);
  response_.keep_alive(!reply.has_to_close && parser_->get().keep_alive());
  response_.body() = std::move(reply.body);
  response_.prepare_payload();
  stream_.expires_after(write_time_max);
  http::async_write(stream_, response_,
                    [self = shared_from_this()](const boost::system::error_code& error, std::size_t) {
                      if (error) return self->close();
                      self->response_.keep_alive() ? self->read_header() : self->linger();
                    });
}

void Session::failed_to_read(const boost::system::error_code& error) {
  const auto answer = [&](int status, std::string what, std::string mend) {
    Reply reply = problem(status, {Errc::bad_input, std::move(what), "", std::move(mend)});
    reply.has_to_close = true;
    write(std::move(reply));
  };
  if (error == http::error::header_limit || error == http::error::buffer_overflow) {
    return answer(431, "the header is larger than 8 KiB", "send a shorter header");
  }
  if (error == http::error::body_limit) {
    return answer(413, "the body is larger than 64 KiB", "send less in one request");
  }
  const bool is_http = error.category() == http::make_error_code(http::error::end_of_stream).category();
  if (is_http && error != http::error::end_of_stream && error != http::error::partial_message) {
    return answer(400, "this is not HTTP/1.1 (" + error.message() + ")", "");
  }
  close();
}

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
  if (!is_saying_) say(comment);
}

/// Reads what the client still sends, so that it gets to read the answer before the connection is reset.
void Session::linger() {
  boost::system::error_code ignored;
  stream_.socket().shutdown(asio::ip::tcp::socket::shutdown_send, ignored);
  if (wasted_ == 0) stream_.expires_after(lingering_time_max);
  stream_.async_read_some(
      asio::buffer(waste_),
      [self = shared_from_this()](const boost::system::error_code& error, std::size_t count) {
        self->wasted_ += count;
        error || self->wasted_ > lingering_size_max ? self->close() : self->linger();
      });
}

void Session::close() {
  if (is_stream_) core_.leave(*this);
  is_stream_ = false;
  boost::system::error_code ignored;
  stream_.socket().close(ignored);
}

}  // namespace

void serve(asio::ip::tcp::socket socket, WebCore& core) {
  std::make_shared<Session>(std::move(socket), core)->read_header();
}

}  // namespace leadwright
