// SPDX-License-Identifier: Apache-2.0
#include "tests/web/fake_bench.h"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <boost/json/serialize.hpp>
#include <stdexcept>
#include <utility>

namespace leadwright {

void EchoService::handle(Request request, std::function<void(Response)> answer) {
  Response response;
  std::function<void()> answered;
  {
    const std::lock_guard lock(mutex_);
    if (!turn_.empty()) {
      response = std::move(turn_.front());
      turn_.pop_front();
      if (!turn_.empty()) answered = answered_;
    } else if (fixed_) {
      response = *fixed_;
    } else {
      response.status = request.verb == "ticket.add" ? 201 : 200;
      response.body = boost::json::serialize(boost::json::object{{"verb", request.verb},
                                                                 {"subject", request.subject},
                                                                 {"body", request.body},
                                                                 {"actor", request.actor},
                                                                 {"idempotency", request.idempotency},
                                                                 {"ticket", "T-000008-0"},
                                                                 {"warnings", boost::json::array{}}});
    }
    seen_.push_back(std::move(request));
  }
  answer(std::move(response));
  if (answered) answered();
}

std::vector<Request> EchoService::seen() const {
  const std::lock_guard lock(mutex_);
  return seen_;
}

void EchoService::answer_with(Response response) {
  const std::lock_guard lock(mutex_);
  fixed_ = std::make_unique<Response>(std::move(response));
}

void EchoService::answer_in_turn(std::deque<Response> responses, std::function<void()> answered) {
  const std::lock_guard lock(mutex_);
  turn_ = std::move(responses);
  answered_ = std::move(answered);
}

FakeBench::FakeBench(std::shared_ptr<PastRuns> past,
                     std::function<void(const Request&, std::function<void(Response)>)> papers)
    : control_([this] { context_.run(); }) {
  auto started = WebServer::start({"127.0.0.1", 0}, {loop_, service, std::move(past), std::move(papers)});
  if (!started) {
    context_.stop();
    control_.join();
    throw std::runtime_error(started.error().line());
  }
  web_ = std::move(*started);
}

FakeBench::~FakeBench() {
  web_.reset();
  context_.stop();
  control_.join();
}

}  // namespace leadwright
