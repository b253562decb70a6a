// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/kept_answers.h"

#include "daemon/battery/content_hash.h"
#include "daemon/queue/problem.h"

namespace leadwright {

namespace {

constexpr int unprocessable = 422;
constexpr const char* header = "Idempotency-Key";

std::string asked(const Request& request) {
  return content_hash(request.verb + "\n" + request.actor + "\n" + request.body);
}

}  // namespace

void KeptAnswers::load(std::vector<KeptAnswer> stored) {
  for (KeptAnswer& answer : stored) add({std::move(answer), true});
}

void KeptAnswers::add(Known known) {
  std::string key = known.answer.key;
  if (!answers_.insert_or_assign(key, std::move(known)).second) return;
  order_.push_back(std::move(key));
  if (order_.size() <= answers_max) return;
  answers_.erase(order_.front());
  order_.pop_front();
}

std::optional<Response> KeptAnswers::known(const Request& request) const {
  const auto found = answers_.find(request.idempotency);
  if (request.idempotency.empty() || found == answers_.end()) return std::nullopt;
  const Known& known = found->second;
  if (known.answer.asked != asked(request)) {
    return problem({Errc::bad_input, "this key was used for another request, or by somebody else", header,
                    "choose a new key for each thing that you create"},
                   unprocessable);
  }
  if (!known.is_durable) {
    return problem({Errc::busy, "what was asked for with this key waits for the store", header,
                    "ask again in a second"});
  }
  return Response{known.answer.status, known.answer.body};
}

KeptAnswer KeptAnswers::keep(const Request& request, const Response& response, Utc now) {
  KeptAnswer answer{request.idempotency, asked(request), response.status, response.body, now};
  add({answer, false});
  return answer;
}

void KeptAnswers::durable(const std::string& key) {
  if (const auto found = answers_.find(key); found != answers_.end()) found->second.is_durable = true;
}

void KeptAnswers::all_durable() {
  for (auto& [key, known] : answers_) known.is_durable = true;
}

}  // namespace leadwright
