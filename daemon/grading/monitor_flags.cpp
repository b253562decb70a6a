// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/monitor_flags.h"

#include <algorithm>
#include <cmath>

#include "daemon/battery/age.h"
#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

/// P: a monitor that has learnt its battery is believed within these; what it says is hours or days old.
constexpr double soc_apart_most = 0.15;
/// P: an engine bay warms a battery by less.
constexpr Kelvin degrees_apart_most{30.0};
/// P: between the reading in the vehicle and the day at the bench, and for a date code that states no day.
constexpr int days_apart_most = 31;
/// P: the same where the day of the change is known.
constexpr int reset_days_apart_most = 7;

/// The first, which stands for how it came in.
const Finding* first(const Evidence& evidence, Measurand measurand) {
  const auto found = std::ranges::find(evidence.findings, measurand, &Finding::measurand);
  return found == evidence.findings.end() ? nullptr : &*found;
}

/// The days where one would read wrong.
PhraseValue days_said(const char* name, int days) {
  return said_amount(name, days, 0, days == 1 ? "day" : "days");
}

void flag_charge(const Evidence& evidence, std::vector<Sentence>& flags) {
  const auto& reported = evidence.story.monitor.soc;
  const Finding* found = first(evidence, Measurand::soc);
  if (!reported || found == nullptr) return;
  const double apart = std::abs(*reported - found->value);
  if (apart <= soc_apart_most + coverage_factor * found->u) return;
  flags.push_back(
      say("flag_monitor_charge",
          "The vehicle's monitor reported {reported} of charge, the bench found {found}: it knows "
          "another battery, or something drew on this one since.",
          {said_amount("reported", 100.0 * *reported, 0, "%"),
           said_amount("found", 100.0 * found->value, 0, "%")}));
}

void flag_temperature(const Evidence& evidence, std::vector<Sentence>& flags) {
  const auto& reported = evidence.story.monitor.battery;
  const Finding* found = first(evidence, Measurand::temperature);
  if (!reported || found == nullptr) return;
  if (std::abs(reported->degc() - found->value) <= degrees_apart_most.si()) return;
  flags.push_back(say(
      "flag_monitor_degrees",
      "The vehicle's monitor reported {reported}, the bench found {found}: look at the "
      "monitor's own sensor.",
      {said_amount("reported", reported->degc(), 0, "degC"), said_amount("found", found->value, 0, "degC")}));
}

void flag_age(const Evidence& evidence, std::vector<Sentence>& flags) {
  const VehicleMonitor& monitor = evidence.story.monitor;
  if (!monitor.age || !evidence.judged_at) return;
  const int counts = static_cast<int>(std::lround(*monitor.age / hours(24.0)));
  const auto since_reset = days_since(monitor.reset_on, *evidence.judged_at);
  if (since_reset && counts > *since_reset + reset_days_apart_most) {
    flags.push_back(
        say("flag_monitor_did_not_take",
            "The vehicle's monitor counts {counts}, but was told of a change only {since} ago: it "
            "did not take it, and charges this battery as the one before.",
            {days_said("counts", counts), days_said("since", *since_reset)}));
    return;
  }
  const auto since_made = days_since(evidence.nameplate.manufactured_on, *evidence.judged_at);
  if (since_made && *since_made >= 0 && counts > *since_made + days_apart_most) {
    flags.push_back(
        say("flag_monitor_not_told",
            "The vehicle's monitor counts {counts}, but this battery was made {since} ago: it was "
            "not told of the change.",
            {days_said("counts", counts), days_said("since", *since_made)}));
  }
}

void flag_reset(const Evidence& evidence, std::vector<Sentence>& flags) {
  const std::string& reset_on = evidence.story.monitor.reset_on;
  const auto reset = Utc::parse(reset_on);
  const auto made = Utc::parse_from_month(evidence.nameplate.manufactured_on);
  if (!reset || !made || *reset >= *made) return;
  flags.push_back(
      say("flag_monitor_reset",
          "The vehicle's monitor was last told of a change on {told}, before this battery was made "
          "({made}): it still knows the one before.",
          {said_words("told", reset_on), said_words("made", evidence.nameplate.manufactured_on)}));
}

}  // namespace

std::vector<Sentence> monitor_flags(const Evidence& evidence) {
  std::vector<Sentence> flags;
  flag_charge(evidence, flags);
  flag_temperature(evidence, flags);
  flag_age(evidence, flags);
  flag_reset(evidence, flags);
  return flags;
}

}  // namespace leadwright
