// SPDX-License-Identifier: Apache-2.0
#include "tools/simtest_world/seed_run.h"

#include <fmt/format.h>

#include <algorithm>
#include <ostream>

#include "daemon/settings/log.h"
#include "drivers/wire_text.h"
#include "tools/simtest_world/observer.h"

namespace leadwright {

namespace {

constexpr Second diligent_every{5.0};
constexpr const char* exam_bay = "bay-1";

/// FNV-1a, 64 bits (public domain, from memory): a fingerprint, not a proof.
class Fingerprint {
 public:
  void take(std::string_view bytes) {
    for (const char byte : bytes) hash_ = (hash_ ^ static_cast<unsigned char>(byte)) * 0x100000001b3ULL;
  }
  std::uint64_t value() const { return hash_; }

 private:
  std::uint64_t hash_ = 0xcbf29ce484222325ULL;
};

class SeedRun {
 public:
  explicit SeedRun(const SeedOptions& options)
      : options_(options), shape_(shape_of(options.seed, options.ceiling)) {}
  SeedRun(const SeedRun&) = delete;
  SeedRun& operator=(const SeedRun&) = delete;
  ~SeedRun() { log_to({}); }

  SeedResult run();

 private:
  void make_world();
  void introduce();
  void say(std::string_view line);
  void begin();
  void kill(Second dead_for);
  void run_to(Instant until);
  void be_safe();
  void come_right();
  std::string what_is_left() const;
  void count_stored();
  Instant now() const { return world_->clock().now(); }

  const SeedOptions& options_;
  WorldShape shape_;
  Tally tally_;
  Promises promises_;
  Fingerprint fingerprint_;
  std::unique_ptr<World> world_;
  std::unique_ptr<Crew> crew_;
  std::unique_ptr<Mischief> mischief_;
  std::unique_ptr<Observer> observer_;
  Instant begin_at_ = Instant::never();  ///< while the daemon is dead
  std::size_t told_ = 0;                 ///< violations that are in the log
};

void SeedRun::say(std::string_view line) {
  const std::string text = fmt::format("{:.6f} {}\n", world_ ? (now() - Instant()).si() : 0.0, line);
  fingerprint_.take(text);
  if (options_.log != nullptr) *options_.log << text;
}

void SeedRun::make_world() {
  WorldOptions bench = shape_.bench;
  bench.config_folder = options_.config_folder;
  bench.link_faults = shape_.links;
  bench.begun = false;
  bench.change_settings = [this](Settings& settings) {
    settings.precautions.gas_off = shape_.gas_off;
    if (shape_.hasty) settings.procedures_folder = LEADWRIGHT_HASTY_PROCEDURES;
  };
  bench.tap = [this](const std::string& link, bool outward, std::string_view bytes, Instant at) {
    fingerprint_.take(bytes);
    if (options_.log != nullptr) say(fmt::format("{} {} {}", link, outward ? '>' : '<', escaped(bytes)));
    observer_->crossing(link, outward, bytes, at);
  };
  auto world = World::make(std::move(bench));
  if (!world) {
    for (const Error& error : world.error()) promises_.converged(false, error.line(), Instant());
    return;
  }
  world_ = std::move(*world);
  crew_ = std::make_unique<Crew>(*world_, shape_, tally_);
  mischief_ = std::make_unique<Mischief>(*world_, shape_, *crew_, promises_, tally_);
  observer_ = std::make_unique<Observer>(*world_, shape_, *crew_, *mischief_, promises_, tally_);
  promises_.gas_off(shape_.gas_off);
  introduce();
}

void SeedRun::introduce() {
  const auto note = [this](const std::string& line) { say(line); };
  crew_->note = note;
  mischief_->note = note;
  crew_->on_request = [this](const Request& request) { observer_->requested(request); };
  crew_->on_answer = [this](const Answered& answered) { observer_->answered(answered); };
  mischief_->on_kill = [this](Second dead_for) { kill(dead_for); };
  log_to([this](Level, std::string_view line) { say(line); });
  say(shape_.description());
}

void SeedRun::begin() {
  begin_at_ = Instant::never();
  say("the daemon begins");
  world_->begin();
  observer_->daemon_began();
}

void SeedRun::kill(Second dead_for) {
  say("the daemon is killed");
  observer_->daemon_dies();
  world_->kill();
  observer_->daemon_died();
  begin_at_ = now() + dead_for;
}

void SeedRun::run_to(Instant until) {
  while (now() < until) {
    const Instant stop = std::min(until, begin_at_);
    world_->clock().run_until(
        [this] {
          observer_->look();
          for (; told_ < promises_.violations().size(); ++told_) {
            const Violation& broken = promises_.violations()[told_];
            say("VIOLATION " + broken.promise + ": " + broken.what);
          }
          return false;
        },
        stop);
    world_->clock().run_for(stop - now());
    if (now() >= begin_at_) begin();
  }
}

void SeedRun::be_safe() {
  const Instant end = now() + options_.hours;
  Instant crew_at = now() + crew_->pause();
  while (now() < end) {
    run_to(std::min({end, crew_at, std::max(mischief_->next(), now() + Second(1e-3))}));
    if (mischief_->next() <= now()) mischief_->turn();
    if (crew_at > now()) continue;
    crew_->careless_turn();
    crew_at = now() + crew_->pause();
  }
}

std::string SeedRun::what_is_left() const {
  for (const auto& place : world_->bench().places()) {
    const Activity activity = place->activity();
    if (activity == Activity::connecting || activity == Activity::tripped) {
      return fmt::format("{} is {}: {}{}", place->name(), word(activity), place->problem(), place->trip());
    }
  }
  for (const auto& [id, file] : world_->bench().ledger().files()) {
    const TicketState state = file.ticket.state;
    const bool is_at_work = state == TicketState::charging || state == TicketState::resting ||
                            state == TicketState::testing || state == TicketState::recharging;
    const Place* at = world_->bench().place(file.ticket.place);
    if (is_at_work && (at == nullptr || at->run() == nullptr || at->run()->order().run.ticket != id))
      return fmt::format("{} is {} and no run of it goes on", shown(id), word(state));
  }
  return {};
}

void SeedRun::come_right() {
  say("faults stop; people do what they are asked");
  mischief_->mend_all();
  world_->change_link_faults(FaultPlan{});
  if (!world_->is_alive()) begin();
  const Instant end = now() + converges_within;
  std::string left = "nothing was tried";
  bool restarted = false;
  while (now() < end && !left.empty()) {
    left = what_is_left();
    // A daemon that came up while plugs were swapped says that it must be told of the right ones.
    if (!restarted && left.find("restart the daemon") != std::string::npos) {
      restarted = true;
      kill(Second(1.0));
      run_to(begin_at_);
      continue;
    }
    if (left.empty()) crew_->bring_sound(exam_bay);
    if (left.empty() && observer_->completed(crew_->sound_battery()) < (shape_.hasty ? 2 : 1))
      left = "no further run has completed and left its place ready";
    crew_->diligent_turn();
    run_to(now() + diligent_every);
    if (mischief_->next() <= now()) mischief_->turn();
  }
  promises_.converged(left.empty(), left, now());
}

void SeedRun::count_stored() {
  const auto stored = world_->store().load();
  for (const Run& run : stored->runs) {
    if (run.outcome == RunOutcome::void_) tally_.add("runs void");
  }
  const auto done = world_->link_faults_done();
  for (std::size_t kind = 0; kind < done.size(); ++kind)
    tally_.add(std::string("fault link.") + LinkFaults::words[kind], done[kind]);
}

SeedResult SeedRun::run() {
  make_world();
  if (world_) {
    begin();
    be_safe();
    come_right();
    kill(Second(1.0));
    begin();
    run_to(now() + Second(30.0));
    tally_.add("bench seconds", static_cast<std::uint64_t>((now() - Instant()).si()));
    tally_.add("place seconds",
               static_cast<std::uint64_t>((now() - Instant()).si()) * crew_->equipped_places().size());
    count_stored();
  }
  tally_.add("seeds");
  tally_.add("violations", promises_.violations().size());
  return {tally_, promises_.violations(), fingerprint_.value(), shape_.description()};
}

}  // namespace

SeedResult run_seed(const SeedOptions& options) {
  return SeedRun(options).run();
}

}  // namespace leadwright
