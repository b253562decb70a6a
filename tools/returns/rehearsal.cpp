// SPDX-License-Identifier: Apache-2.0
#include "tools/returns/rehearsal.h"

#include <array>
#include <atomic>
#include <condition_variable>
#include <mutex>
#include <string>
#include <thread>

#include "tools/returns/counter_hand.h"

namespace leadwright {

namespace {

/// What a shop does that knows no shorter way.
constexpr std::array full_sequence{procedure_name::intake, procedure_name::charge, procedure_name::rest,
                                   procedure_name::reserve_capacity};

struct VisitSetting {
  std::string policy_file;
  int charging_places = 1;
  VisitPlan plan;
};

tl::expected<ReturnVisit, std::vector<Error>> visit_of(const ReturnsOptions& options, const ReturnCase& one,
                                                       const VisitSetting& setting) {
  auto policy = load_policy(setting.policy_file);
  if (!policy) return tl::unexpected(std::move(policy.error()));
  WorldOptions bench;
  bench.bays = 1;
  bench.charging_places = setting.charging_places;
  bench.ideal = false;
  bench.heavy_loads = true;
  bench.seed = one.seed;
  bench.config_folder = options.config_folder;
  bench.change_settings = [&setting](Settings& settings) { settings.policy_file = setting.policy_file; };
  auto world = World::make(std::move(bench));
  if (!world) return tl::unexpected(std::move(world.error()));
  return CounterHand(**world, one, options.mix.people, *policy, setting.plan).handle();
}

/// Threads take numbers in turn; the thread that asked waits and tells how far they are.
class ManyReturns {
 public:
  explicit ManyReturns(const ReturnsOptions& options)
      : options_(options), all_(static_cast<std::size_t>(options.count)), working_(options.threads) {}

  tl::expected<std::vector<RehearsedReturn>, std::vector<Error>> run(
      const std::function<void(int done)>& on_progress) {
    std::vector<std::jthread> threads;
    threads.reserve(static_cast<std::size_t>(options_.threads));
    for (int i = 0; i < options_.threads; ++i) threads.emplace_back([this] { work(); });
    for (int told = 0; told < options_.count;) {
      std::unique_lock lock(mutex_);
      changed_.wait(lock, [&] { return done_ > told || working_ == 0; });
      const int done = done_;
      told = working_ == 0 ? options_.count : done;
      lock.unlock();
      if (on_progress) on_progress(done);
    }
    threads.clear();
    if (!errors_.empty()) return tl::unexpected(std::move(errors_));
    return std::move(all_);
  }

 private:
  void work() {
    for (int number = next_++; number < options_.count; number = next_++) {
      auto one = rehearse_return(options_, number);
      const std::lock_guard lock(mutex_);
      ++done_;
      if (one) {
        all_[static_cast<std::size_t>(number)] = std::move(*one);
      } else if (errors_.empty()) {
        errors_ = std::move(one.error());
        next_ = options_.count;
      }
      changed_.notify_one();
    }
    const std::lock_guard lock(mutex_);
    --working_;
    changed_.notify_one();
  }

  const ReturnsOptions& options_;
  std::atomic<int> next_{0};
  std::mutex mutex_;  ///< of what follows
  std::condition_variable changed_;
  std::vector<RehearsedReturn> all_;
  int done_ = 0;
  int working_;
  std::vector<Error> errors_;
};

}  // namespace

tl::expected<RehearsedReturn, std::vector<Error>> rehearse_return(const ReturnsOptions& options, int number) {
  RehearsedReturn done;
  done.one = draw_case(options.mix, options.seed, number);
  done.truth = truth_of(done.one);
  auto visit = visit_of(options, done.one, {options.policy_file, 1, {{}, done.one.owner_agrees}});
  if (!visit) return tl::unexpected(std::move(visit.error()));
  done.visit = std::move(*visit);
  if (!options.full_sequence) return done;
  auto full = visit_of(options, done.one,
                       {options.config_folder + "/policies/bench.toml",
                        0,
                        {{full_sequence.begin(), full_sequence.end()}, true}});
  if (!full) return tl::unexpected(std::move(full.error()));
  done.full = std::move(*full);
  return done;
}

tl::expected<std::vector<RehearsedReturn>, std::vector<Error>> rehearse_returns(
    const ReturnsOptions& options, const std::function<void(int done)>& on_progress) {
  return ManyReturns(options).run(on_progress);
}

}  // namespace leadwright
