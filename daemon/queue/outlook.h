// SPDX-License-Identifier: Apache-2.0
// What a ticket still has before it, as far as can be told now: the chain as it goes on if the battery turns
// out to be sound. Told so that people can plan their day; each step is planned anew when it comes. A person
// may start any other procedure instead. Pure; any thread. Read next: planner.h.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "daemon/queue/planner.h"

namespace leadwright {

struct Ahead {
  Work work;
  Second expected;  ///< zero where no place here can do it
  Sentence why;     ///< this, and not another, comes now; one sentence
};

/// `expected` is asked for each piece of work.
std::vector<Ahead> outlook_of(const TicketFile& file, const Policy& policy,
                              const std::function<Second(const Work&)>& expected);

/// `[{"procedure":..,"at":"bay","expected_s":..,"why":..}]`
std::string outlook_json(const std::vector<Ahead>& outlook);

}  // namespace leadwright
