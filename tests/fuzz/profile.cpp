// SPDX-License-Identifier: Apache-2.0
// An instrument profile from text: it is taken with a way to switch off and sane limits, or refused with
// reasons.
#include "drivers/profile.h"

#include <cmath>

#include "tests/fuzz/target.h"

namespace leadwright {
namespace {

void check_taken(const Profile& profile) {
  const bool is_passive = profile.role == Role::thermometer || profile.outputs.count == 0;
  promise(is_passive || !profile.safe.commands.empty(), "what switches can be switched off");
  promise(!(profile.draws() || profile.gives()) || !profile.safe.commands.empty(),
          "a source can be switched off");
  promise(profile.stale.si() > 0.0, "samples grow stale");
  promise(profile.link.timeout.si() > 0.0, "an exchange ends");
  promise(profile.link.timeout.si() <= profile.stale.si(), "an exchange ends before a sample is stale");
  promise(profile.role == Role::digital_io || (!profile.sample_ask.empty() && !profile.sample_fields.empty()),
          "a profile can measure");
  for (const Setting& setting : profile.settings) {
    promise(std::isfinite(setting.min) && std::isfinite(setting.max), "a setting has limits");
    promise(setting.min <= setting.max, "a setting's limits are in order");
    promise(setting.decimals >= 0 && setting.decimals <= 9, "a setting can be written");
    promise(profile.setting(setting.capability) != nullptr, "a setting is found by its capability");
  }
  static_cast<void>(profile.identity_matches("Maker,model,1,1.0"));
}

}  // namespace
}  // namespace leadwright

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using leadwright::promise;
  const auto profile = leadwright::parse_profile(leadwright::text_of(data, size), "fuzz.toml");
  if (profile) {
    leadwright::check_taken(*profile);
    return 0;
  }
  promise(!profile.error().empty(), "a refusal has a reason");
  for (const leadwright::Error& error : profile.error()) {
    promise(error.where.starts_with("fuzz.toml:"), "a reason names its place in the file");
    promise(!error.what.empty(), "a reason says what is wrong");
  }
  return 0;
}
