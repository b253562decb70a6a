// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/relay_part.h"

#include <utility>

namespace leadwright {

std::optional<RelayFault> relay_fault_of(std::string_view word) {
  if (word == "sound") return RelayFault::none;
  if (word == "stuck_open") return RelayFault::stuck_open;
  if (word == "welded") return RelayFault::welded;
  if (word == "ignored") return RelayFault::ignored;
  return std::nullopt;
}

bool RelayPart::is_closed(int output) const {
  const Output& relay = at(output);
  if (relay.fault == RelayFault::welded) return true;
  return relay.coil && relay.fault != RelayFault::stuck_open;
}

void RelayPart::set_coil(int output, bool on) {
  Output& relay = at(output);
  if (relay.coil == on || relay.fault == RelayFault::ignored) return;
  relay.coil = on;
  switched();
}

void RelayPart::set_fault(int output, RelayFault fault) {
  at(output).fault = fault;
  switched();
}

void RelayPart::all_off() {
  for (Output& relay : outputs_) relay.coil = false;
  switched();
}

void RelayPart::expire() {
  off_at_.reset();
  is_expired_ = true;
  all_off();
}

void RelayPart::reset() {
  for (Output& relay : outputs_) relay.was_on = false;
  off_at_.reset();
  is_expired_ = false;
  all_off();
}

void RelayPart::mains_lost() {
  for (Output& relay : outputs_) relay.was_on = relay.coil;
  off_at_.reset();
  all_off();
}

void RelayPart::mains_back() {
  for (Output& relay : outputs_) relay.coil = relay.was_on;
  switched();
}

}  // namespace leadwright
