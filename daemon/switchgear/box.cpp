// SPDX-License-Identifier: Apache-2.0
#include "daemon/switchgear/box.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

namespace leadwright {

namespace {
/// By InputMeans.
constexpr std::array alarm_words{"the stop button is pressed", "smoke", "gas", "no airflow"};
}  // namespace

/// The box to oneself, for as long as this lives.
class Box::Turn {
 public:
  static Task<std::unique_ptr<Turn>> take(Box& box) {
    while (box.taken_) co_await box.freed_.wait();
    box.taken_ = true;
    co_return std::make_unique<Turn>(box);
  }
  explicit Turn(Box& box) : box_(box) {}
  Turn(const Turn&) = delete;
  Turn& operator=(const Turn&) = delete;
  ~Turn() {
    box_.taken_ = false;
    box_.freed_.notify();
  }

 private:
  Box& box_;
};

Box::Box(std::unique_ptr<Instrument> instrument, const BoxSettings& settings, BenchKind bench)
    : instrument_(std::move(instrument)),
      watch_(*instrument_, bench.clocks),
      siren_(settings.siren),
      bench_(bench),
      freed_(bench.clocks.machine) {
  for (const BoxInputSettings& input : settings.inputs) inputs_.push_back({input});
}

void Box::open() {
  job_ = Job(bench_.clocks.machine.loop(), live_on());
}

std::optional<std::string> Box::alarm() const {
  if (calling_ != nullptr) {
    return fmt::format("{} ({} input {})", alarm_words[static_cast<std::size_t>(calling_->input.means)],
                       name(), calling_->input.number);
  }
  if (inputs_.empty() || is_ready()) return std::nullopt;
  return fmt::format("nobody hears the inputs of {}: {}", name(), problem_);
}

void Box::tell_alarm() {
  const std::optional<std::string> now = alarm();
  const bool is_new = now && !std::exchange(is_told_, now.has_value());
  if (!now) is_told_ = false;
  if (!is_new) return;
  watch_.alarm(*now);
  if (on_alarm) on_alarm(*now);
}

Task<Result<void>> Box::join() {
  const std::unique_ptr<Turn> turn = co_await Turn::take(*this);
  // This opens every contact and arms the heartbeat, if the profile has one: from then on the contacts open
  // by themselves when this daemon falls silent.
  Result<void> connected = co_await connect(watch_, bench_);
  siren_is_on_ = false;
  co_return connected;
}

void Box::judge(std::uint32_t bits) {
  calling_ = nullptr;
  for (Heard& heard : inputs_) {
    const bool is_closed = (bits >> static_cast<unsigned>(heard.input.number) & 1U) != 0;
    const bool is_well = is_closed == heard.input.closed_is_well;
    heard.looks_bad = is_well ? 0 : heard.looks_bad + 1;
    if (heard.looks_bad >= looks_agreeing && calling_ == nullptr) calling_ = &heard;
  }
  tell_alarm();
}

Task<void> Box::sound() {
  const bool wanted = siren_ && siren_wanted && siren_wanted();
  if (!siren_ || wanted == siren_is_on_) co_return;
  const Result<void> switched = co_await instrument_->set_output(*siren_, wanted);
  watch_.asked(switched ? nullptr : &switched.error());
  if (switched) siren_is_on_ = wanted;
}

Task<void> Box::look() {
  const std::unique_ptr<Turn> turn = co_await Turn::take(*this);
  if (inputs_.empty()) {
    co_await look_at(watch_);
  } else {
    const Result<std::uint32_t> bits = co_await instrument_->read_inputs();
    watch_.asked(bits ? nullptr : &bits.error());
    if (bits) judge(*bits);
  }
  co_await keep_heartbeat();
  co_await sound();
}

Task<void> Box::keep_heartbeat() {
  const Instant now = bench_.clocks.bench.now();
  Result<void> kept;
  if (now >= arm_due_) {
    arm_due_ = now + instrument_->profile().recheck;
    kept = co_await instrument_->arm_heartbeat();
  } else {
    kept = co_await instrument_->feed_heartbeat();
  }
  if (!kept) watch_.asked(&kept.error());
}

Task<void> Box::live_on() {
  BackOff pause;
  Clock& machine = bench_.clocks.machine;
  while (true) {
    const Result<void> joined = co_await join();
    if (!joined) {
      problem_ = joined.error().line();
      co_await machine.sleep_for(pause.next());
      continue;
    }
    pause = BackOff();
    problem_.clear();
    ready_ = true;
    // An answer that was missed is asked for again before anything is taken for lost: connecting anew opens
    // every contact.
    Instant good_at = machine.now();
    while (instrument_->state() != LinkState::lost &&
           machine.now() - good_at < instrument_->profile().stale) {
      co_await look();
      if (instrument_->state() == LinkState::ready) good_at = machine.now();
      co_await machine.sleep_for(look_period);
    }
    ready_ = false;
    problem_ = watch_.trouble() ? watch_.trouble()->what : "the box was lost";
    tell_alarm();
  }
}

Task<Result<void>> Box::switch_output(int output, bool on, std::optional<int> mirror) {
  const std::unique_ptr<Turn> turn = co_await Turn::take(*this);
  Result<void> switched;
  // A box that lost its mains meanwhile has forgotten the heartbeat, and nothing in its answers shows it.
  if (on) switched = co_await instrument_->arm_heartbeat();
  if (switched) switched = co_await instrument_->set_output(output, on);
  watch_.asked(switched ? nullptr : &switched.error());
  if (!switched || !mirror) co_return switched;
  const Result<std::uint32_t> bits = co_await instrument_->read_inputs();
  watch_.asked(bits ? nullptr : &bits.error());
  if (!bits) co_return tl::unexpected<Error>(bits.error());
  const bool is_closed = (*bits >> static_cast<unsigned>(*mirror) & 1U) != 0;
  if (is_closed == on) co_return Result<void>();
  co_return fail(Errc::not_verified,
                 fmt::format("output {} is {}, but its contact is {}", output, on ? "on" : "off",
                             is_closed ? "closed" : "open"),
                 name(), on ? "the contact does not close: renew it" : "the contact is welded: renew it");
}

}  // namespace leadwright
