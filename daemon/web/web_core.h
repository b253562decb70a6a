// SPDX-License-Identifier: Apache-2.0
// What the connections of the web thread share. Owned by WebServer; thread: web, but for publish() and ask().
// Inside this folder only.
#pragma once

#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/steady_timer.hpp>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "daemon/web/admit.h"
#include "daemon/web/web.h"

namespace leadwright {

/// An open event stream.
class EventStream {
 public:
  virtual ~EventStream() = default;
  /// There is a newer event in the core.
  virtual void push() = 0;
  /// Nothing has been said for a while: say something.
  virtual void beat() = 0;
};

/// A connection whose next request has not come as far as the end of its header.
class Awaited {
 public:
  virtual ~Awaited() = default;
  /// Another connection needs its room.
  virtual void give_way() = 0;
};

class WebCore : public std::enable_shared_from_this<WebCore> {
 public:
  explicit WebCore(WebBridge bridge);

  Result<void> listen(const WebSettings& settings);
  /// Runs until stop(). Thread: web.
  void run();
  void stop() { context_.stop(); }
  std::uint16_t port() const { return port_; }
  /// Who is let in. Thread: web.
  const Access& access() const { return access_; }
  /// "127.0.0.1:8417".
  const std::string& authority() const { return authority_; }

  void publish(std::string snapshot);
  /// Asks control; `back` runs on the web thread, or never if the server ends first.
  void ask(Request request, std::function<void(Response)> back);

  /// Has a paper drawn; `back` runs on the web thread, or never if the server ends first.
  void draw(const Request& request, std::function<void(Response)> back);

  /// Answers from the store what control did not know; `unknown` again if there is no store. Thread: web.
  Response look_back(const Request& request, Response unknown);

  boost::asio::io_context& context() { return context_; }
  /// The snapshot published last, and the same as an event; null before the first.
  const std::shared_ptr<const std::string>& snapshot() const { return snapshot_; }
  const std::shared_ptr<const std::string>& event() const { return event_; }

  /// False if there are as many as the server takes. leave() takes back.
  bool join(EventStream& stream);
  void leave(EventStream& stream);
  void connection_ended() { --connections_; }
  /// Who is awaited the longest gives way when the server is full, so that those who say nothing can't keep
  /// out those who ask. is_awaited may be called again, and heard_from without it.
  void is_awaited(Awaited& connection);
  void heard_from(Awaited& connection) { std::erase(awaited_, &connection); }
  /// Time after which the next page that joins should come back, spread so that not all come at once.
  int next_retry_ms();

 private:
  /// Carries an answer of another thread to the web thread, if the server is still there.
  std::function<void(Response)> carried(std::function<void(Response)> back);
  void accept();
  void accept_later();
  void taken(boost::asio::ip::tcp::socket socket);
  void arm_heartbeat();

  WebBridge bridge_;
  Access access_;
  std::uint16_t port_ = 0;
  std::string authority_;
  std::shared_ptr<const std::string> snapshot_;
  std::shared_ptr<const std::string> event_;
  std::uint64_t event_number_ = 0;
  std::uint32_t joined_ = 0;
  std::vector<EventStream*> streams_;
  std::vector<Awaited*> awaited_;  ///< longest first
  int connections_ = 0;
  // After what the connections use: the context destroys the connections that still wait in it.
  boost::asio::io_context context_{1};
  boost::asio::ip::tcp::acceptor acceptor_{context_};
  boost::asio::steady_timer heartbeat_{context_};
  boost::asio::steady_timer pause_{context_};
};

/// Serves one connection until it ends; it keeps itself alive and tells the core when it ends.
void serve(boost::asio::ip::tcp::socket socket, WebCore& core);

}  // namespace leadwright
