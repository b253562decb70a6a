// SPDX-License-Identifier: Apache-2.0
#include "drivers/profile.h"

#include <algorithm>

#include "drivers/pattern.h"

namespace leadwright {

const char* word(Role role) {
  switch (role) {
    case Role::load:
      return "load";
    case Role::charger:
      return "charger";
    case Role::thermometer:
      return "thermometer";
  }
  return "load";
}

const char* word(Capability capability) {
  switch (capability) {
    case Capability::set_amps:
      return "set_amps";
    case Capability::set_volts:
      return "set_volts";
    case Capability::limit_amps:
      return "limit_amps";
    case Capability::enable:
      return "enable";
    case Capability::cutoff_volts:
      return "cutoff_volts";
    case Capability::trip_amps:
      return "trip_amps";
    case Capability::trip_volts:
      return "trip_volts";
    case Capability::faults:
      return "faults";
    case Capability::clear_faults:
      return "clear_faults";
  }
  return "enable";
}

bool LinkNeeds::allows(LinkAddress::Kind kind) const {
  return std::ranges::find(allowed, kind) != allowed.end();
}

bool Profile::has(Capability capability) const {
  switch (capability) {
    case Capability::enable:
      return enable.has_value();
    case Capability::faults:
      return faults.has_value();
    case Capability::clear_faults:
      return !clear_faults.empty();
    default:
      return setting(capability) != nullptr;
  }
}

const Setting* Profile::setting(Capability capability) const {
  const auto found = std::ranges::find(settings, capability, &Setting::capability);
  return found == settings.end() ? nullptr : &*found;
}

bool Profile::measures(ReadingOf measurand) const {
  return std::ranges::find(sample_reply, measurand) != sample_reply.end();
}

bool Profile::identity_matches(const std::string& answer) const {
  return matches_whole(identity.match, answer);
}

}  // namespace leadwright
