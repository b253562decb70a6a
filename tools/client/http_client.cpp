// SPDX-License-Identifier: Apache-2.0
#include "tools/client/http_client.h"

#include <boost/asio/connect.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/core/tcp_stream.hpp>
#include <boost/beast/http.hpp>
#include <chrono>
#include <optional>

#include "tools/client/event_reader.h"

namespace leadwright {
namespace {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = beast::http;

constexpr std::chrono::seconds answer_time_max{30};
constexpr std::chrono::seconds silence_max{40};
constexpr std::uint64_t answer_size_max = 64U << 20U;

struct Address {
  std::string host;  ///< without brackets
  std::string port;
  std::string authority;
  std::string prefix;
};

Result<Address> parse_address(const std::string& url) {
  const auto bad = [&](std::string what) {
    return fail(Errc::bad_input, std::move(what), url, "give the address as http://host:port");
  };
  constexpr std::string_view scheme = "http://";
  if (url.compare(0, scheme.size(), scheme) != 0) return bad("the address does not start with http://");
  std::string rest = url.substr(scheme.size());
  Address address;
  if (const auto slash = rest.find('/'); slash != std::string::npos) {
    address.prefix = rest.substr(slash);
    rest.resize(slash);
    while (!address.prefix.empty() && address.prefix.back() == '/') address.prefix.pop_back();
  }
  address.authority = rest;
  const auto bracket = rest.find(']');
  const auto colon = rest.rfind(':');
  const bool has_port = colon != std::string::npos && (bracket == std::string::npos || colon > bracket);
  address.port = has_port ? rest.substr(colon + 1) : "80";
  address.host = has_port ? rest.substr(0, colon) : rest;
  if (bracket != std::string::npos) address.host = rest.substr(1, bracket - 1);
  if (address.host.empty() || address.port.empty()) return bad("the address names no host or no port");
  if (address.port.find_first_not_of("0123456789") != std::string::npos)
    return bad("the port is not a number");
  return address;
}

tl::unexpected<Error> link_failure(const boost::system::error_code& error, const std::string& url) {
  const std::string mend = "is the daemon running, and is this its address?";
  if (error == beast::error::timeout) return fail(Errc::timed_out, "no answer in time", url, mend);
  const bool is_http = error.category() == http::make_error_code(http::error::end_of_stream).category();
  if (is_http && error != http::error::end_of_stream && error != http::error::partial_message) {
    return fail(Errc::garbled, "the answer is not HTTP (" + error.message() + ")", url, mend);
  }
  return fail(Errc::link_lost, "nothing answers (" + error.message() + ")", url, mend);
}

/// One connection on its own context: each step runs until it ends or its time is over.
class Connection {
 public:
  explicit Connection(std::string url) : url_(std::move(url)) {}

  Result<void> open() {
    auto address = parse_address(url_);
    if (!address) return pass(address);
    address_ = std::move(*address);
    boost::system::error_code error;
    asio::ip::tcp::resolver resolver(context_);
    const auto found = resolver.resolve(address_.host, address_.port, error);
    if (error) return link_failure(error, url_);
    stream_.expires_after(answer_time_max);
    stream_.async_connect(found, [&](const auto& ec, const auto&) { error = ec; });
    return finish(error);
  }

  Result<void> send(const HttpCall& call, std::string_view accept) {
    http::request<http::string_body> request;
    request.version(11);
    request.method_string(call.method);
    request.target(address_.prefix + call.path);
    request.set(http::field::host, address_.authority);
    request.set(http::field::user_agent, "leadwright");
    request.set(http::field::accept, accept);
    request.set(http::field::connection, "close");
    if (!call.body.empty()) request.set(http::field::content_type, "application/json");
    for (const auto& [name, value] : call.headers) request.set(name, value);
    request.body() = call.body;
    request.prepare_payload();
    boost::system::error_code error;
    http::async_write(stream_, request, [&](const auto& ec, std::size_t) { error = ec; });
    return finish(error);
  }

  template <class Parser>
  Result<void> read(Parser& parser) {
    boost::system::error_code error;
    http::async_read(stream_, buffer_, parser, [&](const auto& ec, std::size_t) { error = ec; });
    return finish(error);
  }

  template <class Parser>
  Result<void> read_header(Parser& parser) {
    boost::system::error_code error;
    http::async_read_header(stream_, buffer_, parser, [&](const auto& ec, std::size_t) { error = ec; });
    return finish(error);
  }

  /// Reads what comes next into the parser's body; at the latest after `silence_max`.
  template <class Parser>
  Result<void> read_some(Parser& parser) {
    boost::system::error_code error;
    stream_.expires_after(silence_max);
    http::async_read_some(stream_, buffer_, parser, [&](const auto& ec, std::size_t) { error = ec; });
    return finish(error);
  }

 private:
  Result<void> finish(const boost::system::error_code& error) {
    context_.restart();
    context_.run();
    if (error) return link_failure(error, url_);
    return {};
  }

  std::string url_;
  Address address_;
  asio::io_context context_{1};
  beast::tcp_stream stream_{context_};
  beast::flat_buffer buffer_;
};

/// "/list?cursor=1" of "</list?cursor=1>; rel=\"next\"".
std::string next_of(const std::string& link) {
  const auto end = link.find(">; rel=\"next\"");
  return link.starts_with('<') && end != std::string::npos ? link.substr(1, end - 1) : std::string();
}

}  // namespace

Result<HttpAnswer> http_request(const std::string& base_url, const HttpCall& call) {
  Connection connection(base_url);
  if (auto opened = connection.open(); !opened) return pass(opened);
  if (auto sent = connection.send(call, "application/json, application/problem+json, */*"); !sent) {
    return pass(sent);
  }
  http::response_parser<http::string_body> parser;
  parser.body_limit(answer_size_max);
  if (auto got = connection.read(parser); !got) return pass(got);
  auto& response = parser.get();
  return HttpAnswer{static_cast<int>(response.result_int()), std::string(response[http::field::content_type]),
                    std::move(response.body()), next_of(std::string(response[http::field::link]))};
}

Result<void> http_follow(const std::string& base_url, const std::string& path,
                         const std::function<bool(const HttpEvent&)>& take, const HttpHeaders& headers) {
  Connection connection(base_url);
  if (auto opened = connection.open(); !opened) return opened;
  if (auto sent = connection.send({"GET", path, {}, headers}, "text/event-stream"); !sent) return sent;
  http::response_parser<http::string_body> parser;
  parser.body_limit(boost::none);
  if (auto got = connection.read_header(parser); !got) return got;
  if (parser.get().result() != http::status::ok) {
    if (auto got = connection.read(parser); !got) return got;
    return fail(Errc::refused, parser.get().body(), base_url + path);
  }
  EventReader reader;
  bool go_on = true;
  while (go_on && !parser.is_done()) {
    if (auto got = connection.read_some(parser); !got) return got;
    reader.feed(parser.get().body(), [&](const HttpEvent& event) { go_on = go_on && take(event); });
    parser.get().body().clear();
  }
  if (!go_on) return {};
  return fail(Errc::link_lost, "the stream has ended", base_url + path, "start again");
}

std::pair<std::string, std::string> actor_header(std::string_view actor) {
  constexpr std::string_view hex = "0123456789ABCDEF";
  std::string value;
  for (const char c : actor) {
    const auto byte = static_cast<unsigned char>(c);
    if (byte >= 0x20 && byte < 0x7F && c != '%') {
      value += c;
    } else {
      value += '%';
      value += hex[byte >> 4U];
      value += hex[byte & 0x0FU];
    }
  }
  return {"Leadwright-Actor", std::move(value)};
}

}  // namespace leadwright
