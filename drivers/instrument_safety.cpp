// SPDX-License-Identifier: Apache-2.0
// How an instrument is opened, identified, switched off and proved off.
#include "drivers/instrument.h"
#include "drivers/instrument_answers.h"
#include "protocol/scpi.h"

namespace leadwright {

namespace {

constexpr Second open_time_max{3.0};
constexpr Second between_proofs{0.02};
constexpr int proofs_min = 2;

}  // namespace

bool Instrument::off_now() noexcept {
  return conversation_.off_now(off_bytes_);
}

void Instrument::close() noexcept {
  link_->close();
  state_ = LinkState::closed;
}

Task<Result<void>> Instrument::connect() {
  Result<void> outcome = co_await open();
  if (outcome) outcome = co_await identify();
  if (!outcome) {
    close();
    co_return outcome;
  }
  state_ = LinkState::identified;
  conversation_.distrust();
  Result<void> safe = co_await make_safe();
  if (!safe) co_return safe;
  // Both belong to the time before we came: read once so that the next answers are about our own session.
  Result<bool> cycled = co_await power_was_cycled();
  if (!cycled) co_return pass(cycled);
  Result<void> drained = co_await drain_errors("opening");
  if (!drained && drained.error().code != Errc::not_verified) co_return drained;
  state_ = LinkState::ready;
  co_return Result<void>();
}

Task<Result<void>> Instrument::open() {
  if (link_->is_open()) link_->close();
  if (identity_) conversation_.count_reopening();
  state_ = LinkState::opening;
  Result<void> opened = co_await link_->open(machine_.now() + open_time_max);
  if (!opened) co_return opened;
  // A lone line feed ends whatever a former owner, or noise, left half-sent.
  link_->urgent("\n");
  off_now();
  const Second boot = link_->boot_time();
  if (boot > Second(0.0)) {
    auto booted = machine_.sleep_for(boot);
    co_await booted;
    off_now();
  }
  Result<void> quiet = co_await conversation_.quieten();
  conversation_.start();
  co_return quiet;
}

Task<Result<void>> Instrument::identify() {
  Result<std::string> answer = co_await ask_again(profile_.identity.ask, Instant::never());
  if (!answer && answer.error().code == Errc::timed_out) {
    co_return fail(
        Errc::timed_out, "nothing answered to " + profile_.identity.ask, link_->name(),
        "switch the instrument on, check its cable and that the serial settings match " + profile_.file);
  }
  if (!answer) co_return pass(answer);
  if (!profile_.identity_matches(*answer)) {
    co_return fail(Errc::conflict,
                   "wrong instrument: \"" + *answer + "\" answered where the profile \"" + profile_.name +
                       "\" is expected",
                   link_->name(), "correct the link or the profile of " + name_ + ", or swap the cables");
  }
  Result<Identity> identity = read_identity(*answer);
  if (!identity) co_return pass(identity);
  const bool is_other_model = profile_.identity.pin_model && identity_ && identity_->model != identity->model;
  const bool is_other_unit =
      profile_.identity.pin_serial && identity_ && identity_->serial != identity->serial;
  if (is_other_model || is_other_unit) {
    co_return fail(Errc::conflict, "another instrument than before: \"" + *answer + "\" answered",
                   link_->name(),
                   "put back unit " + identity_->serial + ", or restart the daemon to accept the new one");
  }
  identity_ = std::move(*identity);
  co_return Result<void>();
}

Result<Identity> Instrument::read_identity(const std::string& answer) const {
  const auto fields = read_scpi_identity(answer);
  if (!fields) {
    return fail(Errc::garbled, "an identity must have four fields, but is \"" + answer + "\"", link_->name());
  }
  return Identity{std::string(fields->maker), std::string(fields->model), std::string(fields->serial),
                  std::string(fields->firmware), simulated_scale(fields->firmware)};
}

Task<Result<void>> Instrument::make_safe(int attempts) {
  Result<void> outcome;
  for (int attempt = 1; attempt <= attempts; ++attempt) {
    if (!link_->is_open()) co_return fail(Errc::link_lost, "the link is closed", link_->name());
    off_now();
    outcome = co_await check_off();
    if (outcome) co_return outcome;
    note(outcome.error());
  }
  co_return outcome;
}

Task<Result<void>> Instrument::check_off() {
  for (const std::string& command : profile_.safe.commands) {
    const std::string bytes = command + "\n";
    Result<void> told = co_await conversation_.tell(bytes);
    if (!told) co_return told;
  }
  for (const SafeState::Check& check : profile_.safe.checks) {
    Result<std::string> answer = co_await ask_again(check.ask, freshness_limit());
    if (!answer) co_return pass(answer);
    if (same_scpi_answer(check.equals, *answer)) continue;
    co_return fail(Errc::not_verified, "not off: " + check.ask + " answers " + *answer, name_,
                   "switch it off by hand and disconnect the battery");
  }
  co_return co_await prove_off();
}

Task<Result<void>> Instrument::prove_off() {
  if (!profile_.safe.proof) co_return Result<void>();
  const SafeState::Proof& proof = *profile_.safe.proof;
  const Instant until = bench_.now() + proof.within;
  for (int reading_count = 1;; ++reading_count) {
    Result<Reading> reading = co_await sample();
    if (!reading) co_return pass(reading);
    if (reading->amps && abs(*reading->amps) < proof.below) co_return Result<void>();
    if (reading_count >= proofs_min && bench_.now() >= until) break;
    auto pause = machine_.sleep_for(between_proofs);
    co_await pause;
  }
  co_return fail(Errc::not_verified, "switched off, but current still flows", name_,
                 "disconnect the battery by hand");
}

Task<Result<bool>> Instrument::power_was_cycled() {
  if (profile_.errors.power_cycle_ask.empty()) co_return false;
  Result<std::string> answer = co_await ask_again(profile_.errors.power_cycle_ask, freshness_limit());
  if (!answer) co_return pass(answer);
  const auto number = read_scpi_number(*answer);
  if (!number || number->missing || number->value < 0.0 || number->value > 65535.0) {
    conversation_.distrust();
    co_return fail(Errc::garbled, "not a status register: " + *answer, name_);
  }
  const auto status = static_cast<unsigned>(number->value);
  co_return (status >> static_cast<unsigned>(profile_.errors.power_cycle_bit) & 1U) != 0;
}

}  // namespace leadwright
