// SPDX-License-Identifier: Apache-2.0
// How an instrument is opened, identified, switched off and proved off.
#include "drivers/answers.h"
#include "drivers/instrument.h"
#include "protocol/scpi.h"

namespace leadwright {

namespace {

constexpr Second open_time_max{3.0};
constexpr Second between_proofs{0.02};
constexpr int proofs_min = 2;

}  // namespace

bool Instrument::off_now() noexcept {
  ++off_count_;
  for (Output& output : outputs_) ++output.off_count;
  return off_bytes_.empty() || conversation_.urgent(off_bytes_);
}

void Instrument::close() noexcept {
  conversation_.close();
  state_ = LinkState::closed;
}

Task<Result<void>> Instrument::connect() {
  Result<void> outcome;
  const bool is_reached = state_ == LinkState::opening && conversation_.is_open();
  if (!is_reached) outcome = co_await reach();
  if (outcome) co_await await_boot();
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
  Result<void> armed = co_await arm_heartbeat();
  if (!armed) co_return armed;
  state_ = LinkState::ready;
  co_return Result<void>();
}

Task<Result<void>> Instrument::reach() {
  state_ = LinkState::opening;
  Result<void> opened = co_await conversation_.open(machine_.now() + open_time_max);
  if (!opened) co_return opened;
  off_now();
  booted_at_ = machine_.now() + link().boot_time();
  co_return Result<void>();
}

Task<void> Instrument::await_boot() {
  if (machine_.now() >= booted_at_) co_return;
  auto booted = machine_.sleep_until(booted_at_);
  co_await booted;
  off_now();
}

Task<Result<void>> Instrument::identify() {
  if (profile_.dialect == DialectKind::modbus) co_return co_await identify_registers();
  Result<std::string> answer = co_await ask_again(profile_.identity.ask, Instant::never());
  if (!answer && answer.error().code == Errc::timed_out) co_return nobody_answered();
  if (!answer) co_return pass(answer);
  if (!profile_.identity_matches(*answer)) co_return is_other("\"" + *answer + "\"");
  const auto fields = read_scpi_identity(*answer);
  if (!fields) {
    co_return fail(Errc::garbled, "an identity must have four fields, but is \"" + *answer + "\"",
                   link().name());
  }
  Identity identity{std::string(fields->maker), std::string(fields->model), std::string(fields->serial),
                    std::string(fields->firmware), simulated_scale(fields->firmware)};
  co_return accept(std::move(identity), *answer);
}

Task<Result<void>> Instrument::identify_registers() {
  Result<std::string> answer = co_await ask_again(profile_.identity.ask, Instant::never());
  if (!answer && answer.error().code == Errc::timed_out) co_return nobody_answered();
  if (!answer) co_return pass(answer);
  for (std::size_t i = 0; i < profile_.identity.words.size(); ++i) {
    if (modbus_word(*answer, i) != profile_.identity.words[i]) co_return is_other(shown_answer(*answer));
  }
  Identity identity{"", profile_.name, "", "", std::nullopt};
  std::string shown = shown_answer(*answer);
  if (!profile_.identity.serial_ask.empty()) {
    Result<std::string> stated = co_await ask_again(profile_.identity.serial_ask, Instant::never());
    if (!stated) co_return pass(stated);
    Result<std::string> serial = serial_number(profile_.identity, *stated);
    if (!serial) {
      serial.error().where = name_;
      co_return pass(serial);
    }
    identity.serial = std::move(*serial);
    shown.append(", serial number ").append(identity.serial);
  }
  if (profile_.identity.simulated) {
    Result<std::string> stated = co_await ask_again(profile_.identity.simulated_ask, Instant::never());
    if (!stated) co_return pass(stated);
    const double scale = field_value(*profile_.identity.simulated, *stated);
    if (scale > 0.0) identity.simulated_scale = scale;
  }
  co_return accept(std::move(identity), shown);
}

Task<Result<void>> Instrument::check_identity() {
  Result<void> same = co_await identify();
  if (!same) note(same.error());
  co_return same;
}

tl::unexpected<Error> Instrument::nobody_answered() {
  const bool is_modbus = profile_.dialect == DialectKind::modbus;
  const std::string asked =
      shown_message(profile_.identity.ask) + (is_modbus ? " of unit " + std::to_string(unit_) : "");
  return fail(Errc::timed_out, "nothing answered to " + asked, link().name(),
              "switch the instrument on, check its cable and that the serial settings" +
                  std::string(is_modbus ? " and the unit" : "") + " match " + profile_.file);
}

tl::unexpected<Error> Instrument::is_other(const std::string& answer) {
  return fail(
      Errc::conflict,
      "wrong instrument: " + answer + " answered where the profile \"" + profile_.name + "\" is expected",
      link().name(), "correct the link or the profile of " + name_ + ", or swap the cables");
}

Result<void> Instrument::accept(Identity found, const std::string& answer) {
  const bool is_other_model = profile_.identity.pin_model && identity_ && identity_->model != found.model;
  const bool is_other_unit = profile_.identity.pin_serial && identity_ && identity_->serial != found.serial;
  if (is_other_model || is_other_unit) {
    return fail(Errc::conflict, "another instrument than before: \"" + answer + "\" answered", link().name(),
                "put back unit " + identity_->serial + ", or restart the daemon to accept the new one");
  }
  identity_ = std::move(found);
  return {};
}

Task<Result<void>> Instrument::make_safe(int attempts) {
  Result<void> outcome;
  for (int attempt = 1; attempt <= attempts; ++attempt) {
    if (!conversation_.is_open()) co_return fail(Errc::link_lost, "the link is closed", link().name());
    off_now();
    outcome = co_await check_off();
    refuses_off_ = !outcome && outcome.error().code == Errc::not_verified;
    if (outcome) co_return outcome;
    note(outcome.error());
  }
  co_return outcome;
}

Task<Result<void>> Instrument::check_off() {
  for (const std::string& command : profile_.safe.commands) {
    Result<void> told = co_await conversation_.tell(command);
    if (!told) co_return told;
  }
  for (const SafeState::Check& check : profile_.safe.checks) {
    Result<std::string> answer = co_await ask_again(check.ask, freshness_limit());
    if (!answer) co_return pass(answer);
    const Result<void> is_off = check_equals(check, *answer);
    if (is_off) continue;
    co_return fail(Errc::not_verified, "not off: " + is_off.error().what, name_,
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

Task<Result<void>> Instrument::arm_heartbeat() {
  if (!profile_.heartbeat) co_return Result<void>();
  const Heartbeat& heartbeat = *profile_.heartbeat;
  feed_due_ = bench_.now() + heartbeat.every;
  if (heartbeat.arm.empty()) co_return Result<void>();
  Result<void> told = co_await conversation_.tell(heartbeat.arm);
  if (!told) {
    note(told.error());
    co_return told;
  }
  co_return co_await check_heartbeat();
}

Task<Result<void>> Instrument::check_heartbeat() {
  if (!profile_.heartbeat || profile_.heartbeat->armed.ask.empty()) co_return Result<void>();
  const Heartbeat& heartbeat = *profile_.heartbeat;
  Result<std::string> answer = co_await ask_again(heartbeat.armed.ask, freshness_limit());
  if (!answer) co_return pass(answer);
  Result<void> armed = check_equals(heartbeat.armed, *answer);
  if (!armed) {
    armed.error().what.insert(0, "the heartbeat is not armed: ");
    armed.error().where = name_;
  }
  co_return armed;
}

Task<Result<void>> Instrument::feed_heartbeat() {
  if (!profile_.heartbeat || profile_.heartbeat->feed.empty() || bench_.now() < feed_due_) {
    co_return Result<void>();
  }
  feed_due_ = bench_.now() + profile_.heartbeat->every;
  Result<void> told = co_await conversation_.tell(profile_.heartbeat->feed);
  if (!told) note(told.error());
  co_return told;
}

}  // namespace leadwright
