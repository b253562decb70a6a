// SPDX-License-Identifier: Apache-2.0
#include "daemon/web/session.h"

#include "daemon/web/assets.h"
#include "daemon/web/openapi.h"
#include "daemon/web/sign_in.h"

namespace leadwright {
namespace {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = beast::http;
using std::chrono::seconds;

constexpr int not_modified = 304;
constexpr std::size_t lingering_size_max = 1048576;
constexpr seconds header_time_max{20};
constexpr seconds body_time_max{15};
constexpr seconds answer_time_max{20};
constexpr seconds lingering_time_max{2};

}  // namespace

std::string_view view(beast::string_view text) {
  return {text.data(), text.size()};
}

void Session::read_header() {
  parser_.emplace();
  parser_->header_limit(header_size_max);
  parser_->body_limit(photo_body_size_max);
  stream_.expires_after(header_time_max);
  core_.is_awaited(*this);
  http::async_read_header(stream_, buffer_, *parser_,
                          [self = shared_from_this()](const boost::system::error_code& error, std::size_t) {
                            self->core_.heard_from(*self);
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
  head.authorization = view(message[http::field::authorization]);
  head.cookie = view(message[http::field::cookie]);
  head.idempotency = view(message["Idempotency-Key"]);
  head.if_match = view(message[http::field::if_match]);
  head.if_none_match = view(message[http::field::if_none_match]);
  head.has_body = !parser_->is_done();
  admitted_ = {};
  auto verdict = admit(head, core_.access());
  if (!verdict) {
    verdict.error().has_to_close = head.has_body;
    return write(std::move(verdict.error()));
  }
  admitted_ = std::move(*verdict);
  const auto body_max = admitted_.route->body_max;
  if (parser_->content_length().value_or(0) > body_max) return refuse_body();
  parser_->body_limit(body_max);
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
    case RouteKind::stored:
      return write(reply_of(*admitted_.route, admitted_.request,
                            core_.look_back(admitted_.request, {503, starting().body})));
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
    case RouteKind::sign_in:
      if (const auto read = check_no_members(parser_->get().body()); !read) {
        return write(problem(400, read.error()));
      }
      return write(sign_in_reply(admitted_, core_.access()));
    case RouteKind::asset:
      return write(asset_reply(admitted_.route->pattern, view(parser_->get()[http::field::accept_encoding])));
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
  if (admitted_.route != nullptr) tag(*admitted_.route, admitted_.if_none_match, reply);
  response_ = {};
  response_.version(11);
  response_.result(static_cast<unsigned>(reply.status));
  dress(response_, reply.content_type, reply.more);
  response_.keep_alive(!reply.has_to_close && parser_->get().keep_alive());
  response_.body() = std::move(reply.body);
  response_.prepare_payload();
  if (reply.status == not_modified) response_.erase(http::field::content_length);
  stream_.expires_after(write_time_max);
  http::async_write(stream_, response_,
                    [self = shared_from_this()](const boost::system::error_code& error, std::size_t) {
                      if (error) return self->close();
                      self->response_.keep_alive() ? self->read_header() : self->linger();
                    });
}

void Session::refuse_body() {
  const auto body_max = admitted_.route != nullptr ? admitted_.route->body_max : photo_body_size_max;
  Reply reply =
      problem(413, {Errc::bad_input, "the body is larger than " + std::to_string(body_max / 1024) + " KiB",
                    "", "send less in one request"});
  reply.has_to_close = true;
  write(std::move(reply));
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
  if (error == http::error::body_limit) return refuse_body();
  const bool is_http = error.category() == http::make_error_code(http::error::end_of_stream).category();
  if (is_http && error != http::error::end_of_stream && error != http::error::partial_message) {
    return answer(400, "this is not HTTP/1.1 (" + error.message() + ")", "");
  }
  close();
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

void serve(asio::ip::tcp::socket socket, WebCore& core) {
  std::make_shared<Session>(std::move(socket), core)->read_header();
}

}  // namespace leadwright
