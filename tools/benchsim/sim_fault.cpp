// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/sim_fault.h"

namespace leadwright {

namespace {

struct Named {
  const char* word;
  SimFault fault;
};

constexpr Named all_faults[] = {
    {"ignores_off", SimFault::ignores_off},
    {"ignores_amps", SimFault::ignores_amps},
    {"ignores_volts", SimFault::ignores_volts},
    {"ignores_trips", SimFault::ignores_trips},
    {"stuck_reading", SimFault::stuck_reading},
    {"reads_tenfold", SimFault::reads_tenfold},
    {"reads_clipped", SimFault::reads_clipped},
    {"overload", SimFault::overload},
    {"no_answer", SimFault::no_answer},
    {"wrong_identity", SimFault::wrong_identity},
    {"busy", SimFault::busy},
    {"broken", SimFault::broken},
};

}  // namespace

std::optional<SimFault> sim_fault_of(std::string_view word) {
  for (const Named& named : all_faults) {
    if (word == named.word) return named.fault;
  }
  return std::nullopt;
}

std::string sim_fault_words() {
  std::string words;
  for (const Named& named : all_faults) words.append(words.empty() ? "" : ", ").append(named.word);
  return words;
}

}  // namespace leadwright
