// SPDX-License-Identifier: Apache-2.0
// Samples and settings. Opening, identity and the safe state are in instrument_safety.cpp.
#include "drivers/instrument.h"

#include <array>

#include "drivers/answers.h"
#include "protocol/scpi.h"

namespace leadwright {

namespace {

constexpr int set_tries_max = 2;
constexpr int error_queue_max = 32;
// A scaled clock can't ask a real line faster than this (design.md, section 4).
constexpr Second freshness_floor{0.5};

bool is_worth_a_retry(const Error& error) {
  return error.code == Errc::timed_out || error.code == Errc::garbled || error.code == Errc::not_verified ||
         error.code == Errc::busy;
}

std::string number_text(double value, int decimals) {
  std::array<char, 48> room;
  return std::string(write_scpi_number(value, decimals, room));
}

}  // namespace

std::string shown(const Identity& identity) {
  std::string text = identity.maker;
  return text.append(" ").append(identity.model).append(" ").append(identity.serial);
}

const char* word(LinkState state) {
  switch (state) {
    case LinkState::closed:
      return "closed";
    case LinkState::opening:
      return "opening";
    case LinkState::identified:
      return "identified";
    case LinkState::ready:
      return "ready";
    case LinkState::degraded:
      return "degraded";
    case LinkState::lost:
      return "lost";
  }
  return "lost";
}

Instrument::Instrument(std::string name, Wiring wiring, const Profile& profile, Clock& machine, Clock& bench)
    : name_(std::move(name)),
      unit_(wiring.unit),
      calibration_due_(std::move(wiring.calibration_due)),
      profile_(profile),
      machine_(machine),
      bench_(bench),
      conversation_(std::move(wiring.line), profile, make_dialect(profile, wiring.kind, wiring.unit), machine,
                    bench),
      off_bytes_(conversation_.off_bytes()) {
  for (int output = 0; output < profile.outputs.count; ++output) {
    Switch enabling = output_switch(profile.outputs, output);
    std::string off_bytes = conversation_.off_bytes(enabling.off);
    outputs_.push_back({std::move(enabling), std::move(off_bytes), 0});
  }
}

Instrument::Instrument(std::string name, std::unique_ptr<Link> link, const Profile& profile, Clock& machine,
                       Clock& bench, LinkAddress::Kind kind)
    : Instrument(std::move(name),
                 Wiring{std::make_shared<Line>(std::move(link), machine), kind, profile.link.unit}, profile,
                 machine, bench) {}

void Instrument::note(const Error& error) {
  if (error.code == Errc::link_lost) {
    state_ = LinkState::lost;
    conversation_.drop();
  } else if (state_ == LinkState::ready) {
    state_ = LinkState::degraded;
  }
}

void Instrument::note_answer() {
  if (state_ == LinkState::degraded) state_ = LinkState::ready;
}

Instant Instrument::freshness_limit() const {
  const double scale = bench_.scale();
  return machine_.now() + (scale > 1.0 ? std::max(profile_.stale / scale, freshness_floor) : profile_.stale);
}

Task<Result<std::string>> Instrument::ask_again(std::string message, Instant limit) {
  for (int attempt = 0;; ++attempt) {
    Result<std::string_view> answer = co_await conversation_.ask(message, limit);
    if (answer) {
      note_answer();
      co_return std::string(*answer);
    }
    note(answer.error());
    const bool is_last = attempt >= profile_.link.read_retries || machine_.now() >= limit;
    if (is_last || !is_worth_a_retry(answer.error())) co_return pass(answer);
    conversation_.count_retry();
  }
}

Task<Result<Reading>> Instrument::sample() {
  const Instant limit = freshness_limit();
  for (int attempt = 0;; ++attempt) {
    Result<std::string_view> answer = co_await conversation_.ask(profile_.sample_ask, limit);
    Result<SampleValues> values =
        answer ? read_sample(profile_, *answer) : Result<SampleValues>(pass(answer));
    if (values) {
      note_answer();
      Reading reading;
      reading.at = conversation_.middle();
      if (values->volts) reading.volts = Volt(*values->volts);
      if (values->amps) reading.amps = Ampere(*values->amps);
      if (values->degc) reading.temperature = Celsius(*values->degc);
      co_return reading;
    }
    if (answer) {
      conversation_.distrust();
      values.error().where = name_;
    }
    note(values.error());
    const bool is_last = attempt >= profile_.link.read_retries || machine_.now() >= limit;
    if (is_last || !is_worth_a_retry(values.error())) co_return pass(values);
    conversation_.count_retry();
  }
}

Task<Result<void>> Instrument::set_amps(Ampere amps) {
  return set(Capability::set_amps, amps.si());
}
Task<Result<void>> Instrument::set_volts(Volt volts) {
  return set(Capability::set_volts, volts.si());
}
Task<Result<void>> Instrument::limit_amps(Ampere amps) {
  return set(Capability::limit_amps, amps.si());
}
Task<Result<void>> Instrument::trip_amps(Ampere amps) {
  return set(Capability::trip_amps, amps.si());
}
Task<Result<void>> Instrument::trip_volts(Volt volts) {
  return set(Capability::trip_volts, volts.si());
}
Task<Result<void>> Instrument::cutoff_volts(Volt volts) {
  return set(Capability::cutoff_volts, volts.si());
}

Task<Result<void>> Instrument::set(Capability capability, double value) {
  const Setting* setting = profile_.setting(capability);
  if (setting == nullptr) {
    co_return fail(Errc::unsupported, std::string("can't ").append(word(capability)), name_,
                   std::string("add it to the profile ").append(profile_.file));
  }
  if (!(value >= setting->min && value <= setting->max)) {
    const std::string range = number_text(setting->min, 3) + " to " + number_text(setting->max, 3);
    co_return fail(Errc::bad_input, std::string(word(capability)).append(" outside ").append(range), name_,
                   "stay inside the range of the profile");
  }
  Result<std::string> message = set_message(*setting, value);
  if (!message) co_return pass(message);
  const OffGuard off{&off_count_, off_count_};
  for (int attempt = 1;; ++attempt) {
    Result<void> done = co_await set_once(*setting, *message, value, off);
    if (done || attempt >= set_tries_max || !is_worth_a_retry(done.error())) co_return done;
    conversation_.count_retry();
  }
}

Task<Result<void>> Instrument::set_once(const Setting& setting, const std::string& message, double value,
                                        OffGuard off) {
  Result<void> told = co_await conversation_.tell(message, off);
  if (!told) {
    note(told.error());
    co_return told;
  }
  if (setting.settle > Second(0.0)) {
    auto settle = bench_.sleep_for(setting.settle);
    co_await settle;
  }
  Result<std::string> answer = co_await ask_again(setting.verify.ask, freshness_limit());
  if (!answer) co_return pass(answer);
  Result<void> verified = check_readback(setting, value, *answer);
  Result<void> accepted = co_await drain_errors(message);
  if (!accepted) co_return accepted;
  if (!verified) verified.error().where = name_;
  co_return verified;
}

Task<Result<void>> Instrument::drain_errors(std::string after) {
  if (profile_.errors.ask.empty()) co_return Result<void>();
  std::string reported;
  for (int i = 0; i < error_queue_max; ++i) {
    Result<std::string> answer = co_await ask_again(profile_.errors.ask, freshness_limit());
    if (!answer) co_return pass(answer);
    const auto fault = read_scpi_fault(*answer);
    if (!fault) {
      conversation_.distrust();
      co_return fail(Errc::garbled, "not an entry of an error queue: " + *answer, name_);
    }
    if (fault->number == profile_.errors.ok) break;
    // Query errors (-400 to -499) say that questions and answers got out of step.
    if (fault->number <= -400 && fault->number > -500) conversation_.distrust();
    if (reported.empty()) reported = *answer;
  }
  if (reported.empty()) co_return Result<void>();
  co_return fail(Errc::not_verified, "the instrument reported " + reported + " after " + after, name_,
                 "check the profile against the instrument's manual");
}

Task<Result<void>> Instrument::enable(bool on) {
  return enable(profile_.draw ? Capability::draw : Capability::give, on);
}

Task<Result<void>> Instrument::enable(Capability which, bool on) {
  const std::optional<Switch>& enabling = which == Capability::draw ? profile_.draw : profile_.give;
  if (!enabling) co_return fail(Errc::unsupported, "can't be switched", name_);
  const OffGuard off{&off_count_, off_count_};
  for (int attempt = 1;; ++attempt) {
    Result<void> done = co_await switch_once(*enabling, on, off);
    if (done || attempt >= set_tries_max || !is_worth_a_retry(done.error())) co_return done;
    conversation_.count_retry();
  }
}

Task<Result<void>> Instrument::switch_once(const Switch& enabling, bool on, OffGuard off) {
  const std::string& message = on ? enabling.on : enabling.off;
  Result<void> told = co_await conversation_.tell(message, on ? off : OffGuard{});
  if (!told) {
    note(told.error());
    co_return told;
  }
  if (enabling.settle > Second(0.0)) {
    auto settle = bench_.sleep_for(enabling.settle);
    co_await settle;
  }
  Result<std::string> answer = co_await ask_again(enabling.ask, freshness_limit());
  if (!answer) co_return pass(answer);
  Result<void> accepted = co_await drain_errors(message);
  if (!accepted) co_return accepted;
  const Result<bool> is_on = read_switch(enabling, *answer);
  if (is_on && *is_on == on) co_return Result<void>();
  co_return fail(Errc::not_verified,
                 shown_message(message) + " was sent, but " + shown_message(enabling.ask) + " answers " +
                     shown_answer(*answer),
                 name_);
}

Task<Result<std::string>> Instrument::faults() {
  if (!profile_.faults) co_return std::string();
  Result<std::string> answer = co_await ask_again(profile_.faults->ask, freshness_limit());
  if (!answer) co_return answer;
  Result<std::string> report = read_fault_report(*profile_.faults, *answer);
  if (!report) {
    conversation_.distrust();
    report.error().where = name_;
  }
  co_return report;
}

Task<Result<void>> Instrument::clear_faults() {
  if (profile_.clear_faults.empty()) co_return Result<void>();
  Result<void> told = co_await conversation_.tell(profile_.clear_faults);
  if (!told) {
    note(told.error());
    co_return told;
  }
  co_return co_await drain_errors(profile_.clear_faults);
}

}  // namespace leadwright
