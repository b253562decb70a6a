// SPDX-License-Identifier: Apache-2.0
// Bytes that a well-behaved client does not send, over a plain socket.
#include <gtest/gtest.h>

#include <boost/asio/buffer.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/read.hpp>
#include <boost/asio/read_until.hpp>
#include <boost/asio/write.hpp>
#include <deque>
#include <string>

#include "tests/web/fake_bench.h"
#include "tools/client/http_client.h"

namespace leadwright {
namespace {

namespace asio = boost::asio;
constexpr std::size_t header_size_max = 8U * 1024U;
constexpr std::size_t body_size_max = 64U * 1024U;
constexpr int streams_max = 128;
constexpr int connections_max = 256;

class Limits : public testing::Test {
 protected:
  asio::ip::tcp::socket connect() {
    asio::ip::tcp::socket socket(context_);
    socket.connect({asio::ip::address_v4::loopback(), bench_.web().port()});
    return socket;
  }
  std::string host() { return "Host: 127.0.0.1:" + std::to_string(bench_.web().port()) + "\r\n"; }
  /// Sends `bytes` and gives all that comes back until the server closes.
  std::string exchange(const std::string& bytes) {
    auto socket = connect();
    boost::system::error_code error;
    asio::write(socket, asio::buffer(bytes), error);
    std::string answer;
    asio::read(socket, asio::dynamic_buffer(answer), error);
    return answer;
  }
  asio::io_context context_;
  FakeBench bench_;
};

std::string first_line(const std::string& answer) {
  return answer.substr(0, answer.find('\r'));
}

TEST_F(Limits, answers_413_to_a_declared_length_over_the_limit) {
  const std::string head = "POST /api/v1/tickets HTTP/1.1\r\n" + host() +
                           "Content-Type: application/json\r\nLeadwright-Actor: ana\r\nContent-Length: " +
                           std::to_string(body_size_max + 1) + "\r\n\r\n";
  EXPECT_EQ(first_line(exchange(head + std::string(body_size_max + 1, ' '))),
            "HTTP/1.1 413 Payload Too Large");
}

TEST_F(Limits, answers_413_to_chunks_over_the_limit) {
  std::string bytes =
      "POST /api/v1/tickets HTTP/1.1\r\n" + host() +
      "Content-Type: application/json\r\nLeadwright-Actor: ana\r\nTransfer-Encoding: chunked\r\n\r\n";
  for (int i = 0; i < 17; ++i) bytes += "1000\r\n" + std::string(0x1000, ' ') + "\r\n";
  EXPECT_EQ(first_line(exchange(bytes)), "HTTP/1.1 413 Payload Too Large");
}

TEST_F(Limits, answers_431_to_a_header_over_the_limit) {
  const std::string bytes =
      "GET /healthz HTTP/1.1\r\n" + host() + "X: " + std::string(header_size_max, 'x') + "\r\n\r\n";
  EXPECT_EQ(first_line(exchange(bytes)), "HTTP/1.1 431 Request Header Fields Too Large");
}

TEST_F(Limits, answers_400_to_what_is_not_http) {
  EXPECT_EQ(first_line(exchange("SSH-2.0-x\r\n\r\n")), "HTTP/1.1 400 Bad Request");
}

TEST_F(Limits, says_which_methods_a_path_has) {
  const auto answer = exchange("PUT /api/v1/tickets HTTP/1.1\r\nConnection: close\r\n" + host() + "\r\n");
  EXPECT_NE(answer.find("\r\nAllow: GET, POST\r\n"), std::string::npos) << answer;
}

TEST_F(Limits, keeps_the_connection_for_the_next_request) {
  const std::string again = "GET /healthz HTTP/1.1\r\n" + host() + "\r\n";
  const std::string last = "GET /page.css HTTP/1.1\r\nConnection: close\r\n" + host() + "\r\n";
  const auto answer = exchange(again + last);
  EXPECT_EQ(first_line(answer), "HTTP/1.1 503 Service Unavailable");
  EXPECT_NE(answer.find("HTTP/1.1 200 OK"), std::string::npos);
}

TEST_F(Limits, carries_the_security_headers_on_answers_and_on_the_stream) {
  bench_.web().publish("{}");
  for (const std::string path : {"/", "/api/v1/bench", "/api/v1/none", "/api/v1/events"}) {
    auto socket = connect();
    asio::write(socket, asio::buffer("GET " + path + " HTTP/1.1\r\n" + host() + "\r\n"));
    std::string answer;
    asio::read_until(socket, asio::dynamic_buffer(answer), "\r\n\r\n");
    for (const auto* line :
         {"Content-Security-Policy: default-src 'none'; script-src 'self'; style-src 'self'; ",
          "X-Content-Type-Options: nosniff", "Referrer-Policy: no-referrer", "frame-ancestors 'none'"}) {
      EXPECT_NE(answer.find(line), std::string::npos) << path << ": " << line;
    }
  }
}

TEST_F(Limits, those_who_say_nothing_give_way_to_those_who_ask) {
  bench_.web().publish("{}");
  std::deque<asio::ip::tcp::socket> streams;
  for (int i = 0; i < 2; ++i) {
    streams.push_back(connect());
    asio::write(streams.back(), asio::buffer("GET /api/v1/events HTTP/1.1\r\n" + host() + "\r\n"));
    std::string answer;
    asio::read_until(streams.back(), asio::dynamic_buffer(answer), "event: bench");
  }
  std::deque<asio::ip::tcp::socket> silent;
  for (int i = 0; i < connections_max; ++i) {
    silent.push_back(connect());
    asio::write(silent.back(), asio::buffer(std::string("GET / HT")));
  }
  const auto health = http_request(bench_.web().url(), "GET", "/healthz");
  ASSERT_TRUE(health) << health.error().line();
  EXPECT_EQ(health->status, 200);
  std::string rest;
  boost::system::error_code error;
  asio::read(silent.front(), asio::dynamic_buffer(rest), error);
  EXPECT_TRUE(error && rest.empty()) << "the one that was silent the longest is closed";
  bench_.web().publish(R"({"next":1})");
  for (auto& stream : streams) {
    std::string event;
    EXPECT_GT(asio::read_until(stream, asio::dynamic_buffer(event), R"({"next":1})"), 0U);
  }
}

TEST_F(Limits, answers_429_to_one_stream_too_many_and_takes_it_when_another_has_ended) {
  bench_.web().publish("{}");
  const std::string request = "GET /api/v1/events HTTP/1.1\r\n" + host() + "\r\n";
  std::deque<asio::ip::tcp::socket> streams;
  for (int i = 0; i < streams_max; ++i) {
    streams.push_back(connect());
    asio::write(streams.back(), asio::buffer(request));
    std::string answer;
    asio::read_until(streams.back(), asio::dynamic_buffer(answer), "event: bench");
    ASSERT_EQ(first_line(answer), "HTTP/1.1 200 OK") << i;
  }
  const auto one_too_many = http_request(bench_.web().url(), "GET", "/api/v1/events");
  ASSERT_TRUE(one_too_many);
  EXPECT_EQ(one_too_many->status, 429);
  // The server has seen the end of a stream once it has closed its own side.
  streams.front().shutdown(asio::ip::tcp::socket::shutdown_send);
  std::string rest;
  boost::system::error_code ended;
  asio::read(streams.front(), asio::dynamic_buffer(rest), ended);
  const auto followed =
      http_follow(bench_.web().url(), "/api/v1/events", [](const HttpEvent&) { return false; });
  EXPECT_TRUE(followed) << followed.error().line();
}

TEST_F(Limits, drops_a_request_that_stops_in_its_middle_without_asking_control) {
  {
    auto socket = connect();
    asio::write(socket, asio::buffer("POST /api/v1/stop HTTP/1.1\r\n" + host() +
                                     "Leadwright-Actor: ana\r\nContent-Type: "
                                     "application/json\r\nContent-Length: 50\r\n\r\n{\"reason\""));
  }
  const auto after = http_request(bench_.web().url(), "GET", "/api/v1/places");
  ASSERT_TRUE(after);
  ASSERT_EQ(bench_.service.seen().size(), 1U);
  EXPECT_EQ(bench_.service.seen().front().verb, "place.list");
}

TEST(WebEnd, leaves_no_answer_behind_when_the_server_ends_while_streams_are_open) {
  asio::io_context context;
  asio::ip::tcp::socket socket(context);
  {
    FakeBench bench;
    bench.web().publish("{}");
    socket.connect({asio::ip::address_v4::loopback(), bench.web().port()});
    asio::write(socket, asio::buffer("GET /api/v1/events HTTP/1.1\r\nHost: localhost:" +
                                     std::to_string(bench.web().port()) + "\r\n\r\n"));
    std::string answer;
    asio::read_until(socket, asio::dynamic_buffer(answer), "event: bench");
  }
  std::string rest;
  boost::system::error_code error;
  asio::read(socket, asio::dynamic_buffer(rest), error);
  EXPECT_TRUE(error);
}

}  // namespace
}  // namespace leadwright
