// SPDX-License-Identifier: Apache-2.0
// Another letter than the bench's own, by the word of two persons. The grade, its rules and the findings stay
// as they are and are shown beside it. Values only; daemon/queue/overrule.h has the rules.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "daemon/battery/ticket.h"

namespace leadwright {

enum class OverrideState { proposed, confirmed, withdrawn };
const char* word(OverrideState state);
std::optional<OverrideState> override_state_of(std::string_view word);

struct GradeOverride {
  /// Of `why`, in bytes: a sentence or two, which must fit on the certificate.
  static constexpr std::size_t why_length_max = 300;

  TicketId ticket{};
  int number = 1;           ///< of its ticket: 1, 2, 3, ...
  char letter = 'U';        ///< A, B, C, D or U; equal to own_letter where it takes an earlier one back
  char own_letter = 'U';    ///< of the bench's grade that it is about
  std::string own_reason;   ///< of the same grade: a grade by other evidence has another sentence
  std::string why;          ///< of the person who proposes it, one line
  std::string disposition;  ///< what the policy does with such a letter
  OverrideState state = OverrideState::proposed;
  std::string proposed_by;  ///< code of a person (people.h)
  Utc proposed_at;
  std::string settled_by;  ///< code of who confirmed or withdrew it; empty while it is proposed
  std::optional<Utc> settled_at;
};

}  // namespace leadwright
