// SPDX-License-Identifier: Apache-2.0
// Answers to creations by the key that the asker chose: whoever asks again, after a lost connection or a
// restart, gets the same answer, and nothing is created twice. Owned by the bench, which writes what keep()
// gives in the batch of the change itself. Thread: control. Never: writes to the store.
#pragma once

#include <deque>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "daemon/queue/service.h"
#include "daemon/store/store.h"

namespace leadwright {

class KeptAnswers {
 public:
  /// In memory; older ones are forgotten, by the store after KeptAnswer::kept_for.
  static constexpr std::size_t answers_max = 10'000;

  /// Those of before this start.
  void load(std::vector<KeptAnswer> stored);
  /// What to answer instead of doing it again: the answer of then; 503 while that is not durable; 422 if the
  /// key was used for something else or by somebody else. Nothing if the key is new.
  std::optional<Response> known(const Request& request) const;
  /// The record of an answer that is about to be given. It counts once durable() was called.
  KeptAnswer keep(const Request& request, const Response& response, Utc now);
  /// The store has what was kept under this key.
  void durable(const std::string& key);
  /// The store has everything.
  void all_durable();

 private:
  struct Known {
    KeptAnswer answer;
    bool is_durable = false;
  };
  void add(Known known);
  std::map<std::string, Known, std::less<>> answers_;
  std::deque<std::string> order_;  ///< oldest first
};

}  // namespace leadwright
