// SPDX-License-Identifier: Apache-2.0
#include "daemon/switchgear/shared_instrument.h"

#include <algorithm>

#include "daemon/switchgear/leads.h"

namespace leadwright {

SharedInstrument::SharedInstrument(std::unique_ptr<Instrument> instrument, BenchKind bench)
    : instrument_(std::move(instrument)),
      watch_(*instrument_, bench.clocks),
      bench_(bench),
      wake_(bench.clocks.machine) {}

void SharedInstrument::open() {
  job_ = Job(bench_.clocks.machine.loop(), live_on());
}

std::string SharedInstrument::problem() const {
  if (!holder_.empty() || problem_.empty()) return {};
  return name() + ": " + problem_;
}

Task<void> SharedInstrument::live_on() {
  BackOff back_off;
  while (true) {
    Second pause = idle_period;
    if (holder_.empty()) {
      is_looked_at_ = true;
      if (instrument_->state() == LinkState::ready) co_await look_at(watch_);
      if (instrument_->state() == LinkState::ready) {
        back_off = BackOff();
      } else {
        const Result<void> connected = co_await connect(watch_, bench_);
        problem_ = connected ? std::string() : connected.error().line();
        if (connected) back_off = BackOff();
        if (!connected) pause = back_off.next();
      }
      is_looked_at_ = false;
    }
    co_await wake_.wait_until(bench_.clocks.machine.now() + pause);
  }
}

bool SharedInstrument::take(const std::string& place) {
  if (holder_ == place) return true;
  if (std::ranges::find(waiting_, place) == waiting_.end()) waiting_.push_back(place);
  const bool is_free = holder_.empty() && !is_looked_at_ && instrument_->state() == LinkState::ready;
  if (!is_free || waiting_.front() != place) return false;
  waiting_.pop_front();
  holder_ = place;
  return true;
}

void SharedInstrument::give(const std::string& place) {
  std::erase(waiting_, place);
  if (holder_ != place) return;
  holder_.clear();
  wake_.notify();
}

std::string SharedInstrument::contacts() const {
  std::string names;
  for (const Way& way : ways_) {
    names.append(names.empty() ? "" : ", ").append(way.contact.name()).append(" to ").append(way.place);
  }
  return names;
}

Task<Result<void>> SharedInstrument::prove_dead() {
  Result<void> dead = co_await await_dead(watch_, bench_.clocks);
  if (!dead) dead.error().what.append(" (").append(contacts()).append(")");
  co_return dead;
}

Task<Result<void>> SharedInstrument::join(std::string place) {
  Result<void> safe = co_await instrument_->make_safe();
  watch_.asked(safe ? nullptr : &safe.error());
  if (!safe) co_return safe;
  for (const Way& way : ways_) {
    Result<void> opened = co_await way.contact.open();
    if (!opened) co_return opened;
  }
  Result<void> dead = co_await prove_dead();
  if (!dead) co_return dead;
  const auto own = std::ranges::find(ways_, place, &Way::place);
  Result<void> closed = co_await own->contact.close();
  if (!closed) own->contact.open_now();
  co_return closed;
}

Task<Result<void>> SharedInstrument::part(std::string place) {
  Result<void> safe = co_await instrument_->make_safe();
  watch_.asked(safe ? nullptr : &safe.error());
  const auto own = std::ranges::find(ways_, place, &Way::place);
  Result<void> opened = co_await own->contact.open();
  if (!safe) co_return safe;
  if (!opened) co_return opened;
  Result<void> dead = co_await prove_dead();
  co_return dead;
}

void SharedInstrument::open_now() noexcept {
  for (const Way& way : ways_) {
    if (way.place == holder_) way.contact.open_now();
  }
}

}  // namespace leadwright
