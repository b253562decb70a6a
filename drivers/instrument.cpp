// SPDX-License-Identifier: Apache-2.0
// Samples and settings. Opening, identity and the safe state are in instrument_safety.cpp.
#include "drivers/instrument.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "drivers/instrument_answers.h"
#include "drivers/profile_tables.h"
#include "protocol/scpi.h"

namespace leadwright {

namespace {

constexpr int read_tries_max = 3;
constexpr int set_tries_max = 2;
constexpr int error_queue_max = 32;
// A scaled clock can't ask a real line faster than this (design.md, section 4).
constexpr Second freshness_floor{0.5};

bool is_worth_a_retry(const Error& error) {
  return error.code == Errc::timed_out || error.code == Errc::garbled || error.code == Errc::not_verified;
}

std::string number_text(double value, int decimals) {
  std::array<char, 48> room;
  return std::string(write_scpi_number(value, decimals, room));
}

}  // namespace

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

Instrument::Instrument(std::string name, std::unique_ptr<Link> link, const Profile& profile, Clock& machine,
                       Clock& bench)
    : name_(std::move(name)),
      link_(std::move(link)),
      profile_(profile),
      machine_(machine),
      bench_(bench),
      conversation_(*link_, profile, machine, bench),
      sample_bytes_(profile.sample_ask + "\n") {
  for (const std::string& command : profile.safe.commands) off_bytes_.append(command).push_back('\n');
}

void Instrument::note(const Error& error) {
  if (error.code == Errc::link_lost) {
    state_ = LinkState::lost;
    link_->close();
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

Task<Result<std::string>> Instrument::ask_again(std::string question, Instant limit) {
  question.push_back('\n');
  for (int attempt = 1;; ++attempt) {
    Result<std::string_view> answer = co_await conversation_.ask(question, limit);
    if (answer) {
      note_answer();
      co_return std::string(*answer);
    }
    note(answer.error());
    const bool is_last = attempt >= read_tries_max || machine_.now() >= limit;
    if (is_last || !is_worth_a_retry(answer.error())) co_return pass(answer);
    conversation_.count_retry();
  }
}

Result<Reading> Instrument::read_sample(std::string_view answer) const {
  std::array<std::string_view, sample_fields_max> fields;
  const std::size_t expected = profile_.sample_reply.size();
  if (split_scpi_answer(answer, fields) != expected) {
    return fail(Errc::garbled, std::string("a sample with the wrong number of fields: ").append(answer),
                name_);
  }
  Reading reading;
  reading.at = conversation_.middle();
  for (std::size_t i = 0; i < expected; ++i) {
    const auto number = read_scpi_number(fields[i]);
    if (!number) {
      return fail(Errc::garbled, std::string("not a number in a sample: ").append(fields[i]), name_);
    }
    if (number->missing) continue;
    switch (profile_.sample_reply[i]) {
      case ReadingOf::volts:
        reading.volts = Volt(number->value);
        break;
      case ReadingOf::amps:
        reading.amps = Ampere(number->value);
        break;
      case ReadingOf::temperature:
        reading.temperature = Celsius(number->value);
        break;
    }
  }
  return reading;
}

Task<Result<Reading>> Instrument::sample() {
  const Instant limit = freshness_limit();
  for (int attempt = 1;; ++attempt) {
    Result<std::string_view> answer = co_await conversation_.ask(sample_bytes_, limit);
    Result<Reading> reading = answer ? read_sample(*answer) : Result<Reading>(pass(answer));
    if (reading) {
      note_answer();
      co_return reading;
    }
    if (answer) conversation_.distrust();
    note(reading.error());
    const bool is_last = attempt >= read_tries_max || machine_.now() >= limit;
    if (is_last || !is_worth_a_retry(reading.error())) co_return reading;
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
  const std::string command = setting->head + number_text(value, setting->decimals) + setting->tail;
  const std::uint64_t off_count = conversation_.off_count();
  for (int attempt = 1;; ++attempt) {
    Result<void> done = co_await set_once(*setting, command, value, off_count);
    if (done || attempt >= set_tries_max || !is_worth_a_retry(done.error())) co_return done;
    conversation_.count_retry();
  }
}

Task<Result<void>> Instrument::set_once(const Setting& setting, const std::string& command, double value,
                                        std::uint64_t off_count) {
  const std::string bytes = command + "\n";
  Result<void> told = co_await conversation_.tell(bytes, &off_count);
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
  Result<void> accepted = co_await drain_errors(command);
  if (!accepted) co_return accepted;
  if (!verified) verified.error().where = name_;
  co_return verified;
}

Task<Result<void>> Instrument::drain_errors(std::string command) {
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
  co_return fail(Errc::not_verified, "the instrument reported " + reported + " after " + command, name_,
                 "check the profile against the instrument's manual");
}

Task<Result<void>> Instrument::enable(bool on) {
  if (!profile_.enable) co_return fail(Errc::unsupported, "can't be switched", name_);
  const std::uint64_t off_count = conversation_.off_count();
  for (int attempt = 1;; ++attempt) {
    Result<void> done = co_await switch_once(on, off_count);
    if (done || attempt >= set_tries_max || !is_worth_a_retry(done.error())) co_return done;
    conversation_.count_retry();
  }
}

Task<Result<void>> Instrument::switch_once(bool on, std::uint64_t off_count) {
  const Switch& enabling = *profile_.enable;
  const std::string& command = on ? enabling.on : enabling.off;
  const std::string bytes = command + "\n";
  Result<void> told = co_await conversation_.tell(bytes, on ? &off_count : nullptr);
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
  Result<void> accepted = co_await drain_errors(command);
  if (!accepted) co_return accepted;
  const auto meaning = std::ranges::find_if(
      enabling.meaning, [&answer](const auto& one) { return same_scpi_answer(one.first, *answer); });
  if (meaning != enabling.meaning.end() && meaning->second == on) co_return Result<void>();
  co_return fail(Errc::not_verified, command + " was sent, but " + enabling.ask + " answers " + *answer,
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
  const std::string bytes = profile_.clear_faults + "\n";
  Result<void> told = co_await conversation_.tell(bytes);
  if (!told) {
    note(told.error());
    co_return told;
  }
  co_return co_await drain_errors(profile_.clear_faults);
}

}  // namespace leadwright
