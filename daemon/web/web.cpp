// SPDX-License-Identifier: Apache-2.0
#include "daemon/web/web.h"

#include <pthread.h>

#include <csignal>
#include <thread>

#include "daemon/web/web_core.h"

namespace leadwright {

/// The web thread. Signals stay with main: they are blocked before the thread begins, since it inherits that.
class WebServer::Thread {
 public:
  explicit Thread(WebCore& core) : core_(core) {
    sigset_t all;
    sigset_t before;
    sigfillset(&all);
    pthread_sigmask(SIG_SETMASK, &all, &before);
    thread_ = std::thread([&core] { core.run(); });
    pthread_setname_np(thread_.native_handle(), "web");
    pthread_sigmask(SIG_SETMASK, &before, nullptr);
  }
  Thread(const Thread&) = delete;
  Thread& operator=(const Thread&) = delete;
  ~Thread() {
    core_.stop();
    thread_.join();
  }

 private:
  WebCore& core_;
  std::thread thread_;
};

Result<std::unique_ptr<WebServer>> WebServer::start(const WebSettings& settings, WebBridge bridge) {
  auto core = std::make_shared<WebCore>(std::move(bridge));
  if (auto listening = core->listen(settings); !listening) return pass(listening);
  return std::unique_ptr<WebServer>(new WebServer(std::move(core)));
}

WebServer::WebServer(std::shared_ptr<WebCore> core)
    : core_(std::move(core)), thread_(std::make_unique<Thread>(*core_)) {}

WebServer::~WebServer() = default;

void WebServer::publish(std::string snapshot) {
  core_->publish(std::move(snapshot));
}

std::uint16_t WebServer::port() const {
  return core_->port();
}

std::string WebServer::url() const {
  return "http://" + core_->authority();
}

}  // namespace leadwright
