// SPDX-License-Identifier: Apache-2.0
// Each setting is set to what it is, or to where it does nothing, and read back.
#include <fmt/format.h>

#include <array>

#include "drivers/answers.h"
#include "protocol/scpi.h"
#include "tools/client/instrument/profile_probe.h"

namespace leadwright {

namespace {

/// The end of a setting's range at which it does nothing: a trip acts least at its highest.
double idle_value(const Setting& setting) {
  const bool is_trip =
      setting.capability == Capability::trip_amps || setting.capability == Capability::trip_volts;
  return is_trip ? setting.max : setting.min;
}

const char* unit_of(Capability capability) {
  const bool is_amps = capability == Capability::set_amps || capability == Capability::limit_amps ||
                       capability == Capability::trip_amps;
  return is_amps ? "A" : "V";
}

Task<Result<void>> set(Instrument& instrument, Capability capability, double value) {
  switch (capability) {
    case Capability::set_amps:
      return instrument.set_amps(Ampere(value));
    case Capability::set_volts:
      return instrument.set_volts(Volt(value));
    case Capability::limit_amps:
      return instrument.limit_amps(Ampere(value));
    case Capability::trip_amps:
      return instrument.trip_amps(Ampere(value));
    case Capability::trip_volts:
      return instrument.trip_volts(Volt(value));
    default:
      return instrument.cutoff_volts(Volt(value));
  }
}

}  // namespace

Task<Result<void>> ProfileProbe::try_settings() {
  for (const Setting& setting : profile_.settings) {
    Result<void> tried = co_await try_setting(setting);
    if (!tried) co_return tried;
  }
  Result<void> safe = co_await instrument_.make_safe();
  if (!safe) co_return found_wrong("safe state", safe.error());
  report_.add(Verdict::right, "safe state", "off again after the settings");
  co_return Result<void>();
}

Task<Result<void>> ProfileProbe::try_setting(const Setting& setting) {
  const char* subject = word(setting.capability);
  const std::optional<double> present = co_await present_value(setting);
  const bool is_kept = present && *present >= setting.min && *present <= setting.max;
  const double value = is_kept ? *present : idle_value(setting);
  if (present && !is_kept) {
    report_.add(Verdict::notice, subject,
                fmt::format("held {} {}, outside the profile's range {} to {}", *present,
                            unit_of(setting.capability), setting.min, setting.max));
  }
  Result<void> done = co_await set(instrument_, setting.capability, value);
  if (!done) co_return found_wrong(subject, done.error());
  report_.add(Verdict::right, subject,
              fmt::format("{:.{}f} {}{}, set and read back", value, setting.decimals,
                          unit_of(setting.capability), is_kept ? ", as before" : ""));
  co_return Result<void>();
}

Task<std::optional<double>> ProfileProbe::present_value(const Setting& setting) {
  Result<std::string_view> answer = co_await aside_.ask(setting.verify.ask);
  if (!answer) co_return std::nullopt;
  if (setting.verify.field) co_return field_value(*setting.verify.field, *answer);
  std::array<std::string_view, 8> fields;
  const std::size_t expected = setting.verify.reply.size();
  if (expected > fields.size() || split_scpi_answer(*answer, fields) != expected) co_return std::nullopt;
  for (std::size_t i = 0; i < expected; ++i) {
    if (setting.verify.reply[i].kind != ExpectedField::Kind::value) continue;
    const auto number = read_scpi_number(fields.at(i));
    if (number && !number->missing) co_return number->value;
  }
  co_return std::nullopt;
}

}  // namespace leadwright
