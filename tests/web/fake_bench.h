// SPDX-License-Identifier: Apache-2.0
// A bench that only answers: control's thread with a service that says back what it was asked.
#pragma once

#include <boost/asio/executor_work_guard.hpp>
#include <boost/asio/io_context.hpp>
#include <deque>
#include <functional>
#include <memory>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

#include "daemon/clock/real_clock.h"
#include "daemon/queue/service.h"
#include "daemon/web/web.h"

namespace leadwright {

class EchoService final : public Service {
 public:
  void handle(Request request, std::function<void(Response)> answer) override;
  std::string snapshot() override { return "{}"; }

  /// Every request so far. Any thread.
  std::vector<Request> seen() const;
  /// What is answered from now on instead of an echo. Any thread.
  void answer_with(Response response);
  /// The next answers, one each; `answered` is called on control's thread after each but the last, so that a
  /// test that has seen the last is alone again. Any thread.
  void answer_in_turn(std::deque<Response> responses, std::function<void()> answered);

 private:
  mutable std::mutex mutex_;
  std::vector<Request> seen_;
  std::unique_ptr<Response> fixed_;
  std::deque<Response> turn_;
  std::function<void()> answered_;
};

/// Control's thread, the service and a web server on a port of the kernel's choice.
class FakeBench {
 public:
  /// Without `past` there is no store, so that what control does not know is unknown.
  explicit FakeBench(std::shared_ptr<PastRuns> past = nullptr,
                     std::function<void(const Request&, std::function<void(Response)>)> papers = {});
  FakeBench(const FakeBench&) = delete;
  FakeBench& operator=(const FakeBench&) = delete;
  ~FakeBench();

  EchoService service;
  AsioLoop& loop() { return loop_; }
  WebServer& web() { return *web_; }

 private:
  boost::asio::io_context context_{1};
  AsioLoop loop_{context_};
  boost::asio::executor_work_guard<boost::asio::io_context::executor_type> work_{context_.get_executor()};
  std::thread control_;
  std::unique_ptr<WebServer> web_;
};

}  // namespace leadwright
