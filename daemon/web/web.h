// SPDX-License-Identifier: Apache-2.0
// The HTTP face of the bench. For: the page, the client and scrapers. Owned by main. Thread: its own, with
// its own io_context; requests reach control by Loop::post and answers come back by post, values only. Never:
// changes anything itself, and never waits for control while others are served. Read next: routes.h, admit.h.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "daemon/clock/clock.h"
#include "daemon/queue/service.h"
#include "protocol/result.h"

namespace leadwright {

struct WebSettings {
  std::string address = "127.0.0.1";    ///< any other than loopback is refused without tokens and a proxy
  std::uint16_t port = 8417;            ///< 0 lets the kernel choose
  std::vector<std::string> names = {};  ///< under which browsers reach it, besides this machine's own
  bool behind_proxy = false;            ///< which does TLS
  std::string tokens_in = {};  ///< state folder whose token file says who is let in; empty: nobody is asked
};

class PastRuns;

/// Where requests go. Both must outlive the server, and `control` must be a loop that other threads may post
/// to; `service` is called on that loop only.
struct WebBridge {
  Loop& control;
  Service& service;
  /// The past that control does not know; called on the web thread only, where it may read the disk.
  std::shared_ptr<PastRuns> past = nullptr;
  /// Draws what a request of a paper's route asks for ("certificate.pdf") on a thread of its own, and calls
  /// back on any thread. Empty: there are no papers.
  std::function<void(const Request&, std::function<void(Response)> back)> papers = {};
};

class WebCore;

class WebServer {
 public:
  /// Listens and starts the web thread. Fails with bad_input for an address that is none, refused for one
  /// that is not loopback, busy for a port that is taken, io otherwise.
  static Result<std::unique_ptr<WebServer>> start(const WebSettings& settings, WebBridge bridge);
  WebServer(const WebServer&) = delete;
  WebServer& operator=(const WebServer&) = delete;
  /// Closes every connection and ends the thread. Answers that come later are dropped.
  ~WebServer();

  /// Gives every page the bench as it is now. Any thread; a client that is slow gets the latest only.
  void publish(std::string snapshot);
  std::uint16_t port() const;
  /// "http://127.0.0.1:8417".
  std::string url() const;

 private:
  class Thread;
  explicit WebServer(std::shared_ptr<WebCore> core);
  std::shared_ptr<WebCore> core_;
  std::unique_ptr<Thread> thread_;
};

}  // namespace leadwright
