// SPDX-License-Identifier: Apache-2.0
#include "drivers/profile.h"

#include <algorithm>
#include <array>

namespace leadwright {

const char* word(Role role) {
  constexpr std::array words{"load", "charger", "two_quadrant", "thermometer", "digital_io"};
  return words[static_cast<std::size_t>(role)];
}

const char* word(DialectKind dialect) {
  return dialect == DialectKind::scpi ? "scpi" : "modbus";
}

const char* word(ReadingOf reading) {
  constexpr std::array words{"read_volts", "read_amps", "read_temperature"};
  return words[static_cast<std::size_t>(reading)];
}

const char* word(Capability capability) {
  constexpr std::array words{"set_amps",     "set_volts", "limit_amps", "input",  "output",
                             "cutoff_volts", "trip_amps", "trip_volts", "faults", "clear_faults"};
  return words[static_cast<std::size_t>(capability)];
}

bool LinkNeeds::allows(LinkAddress::Kind kind) const {
  return std::ranges::find(allowed, kind) != allowed.end();
}

bool Profile::has(Capability capability) const {
  switch (capability) {
    case Capability::draw:
      return draw.has_value();
    case Capability::give:
      return give.has_value();
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
  return std::ranges::find(sample_fields, measurand, &SampleField::of) != sample_fields.end();
}

bool Profile::identity_matches(const std::string& answer) const {
  return identity.match.matches_whole(answer);
}

}  // namespace leadwright
