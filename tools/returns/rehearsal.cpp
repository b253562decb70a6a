// SPDX-License-Identifier: Apache-2.0
#include "tools/returns/rehearsal.h"

#include <algorithm>
#include <array>
#include <condition_variable>
#include <deque>
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
  bench.noise_by_moment = true;
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
  explicit ManyReturns(const ReturnsOptions& options) : options_(options), working_(options.threads) {}

  tl::expected<std::vector<RehearsedReturn>, std::vector<Error>> run(
      const std::function<void(double done)>& on_progress) {
    std::vector<std::jthread> threads;
    threads.reserve(static_cast<std::size_t>(options_.threads));
    for (int i = 0; i < options_.threads; ++i) threads.emplace_back([this] { work(); });
    std::size_t told = 0;
    for (bool is_over = false; !is_over;) {
      std::unique_lock lock(mutex_);
      changed_.wait(lock, [&] { return in_row_ > told || working_ == 0; });
      told = in_row_;
      is_over = working_ == 0;
      const double done = share_done();
      lock.unlock();
      if (on_progress) on_progress(done);
    }
    threads.clear();
    if (!errors_.empty()) return tl::unexpected(std::move(errors_));
    std::vector<RehearsedReturn> all;
    all.reserve(in_row_);
    for (std::size_t i = 0; i < in_row_; ++i) all.push_back(std::move(*all_[i]));
    return all;
  }

 private:
  void work() {
    for (int number = take(); number >= 0; number = take()) {
      auto one = rehearse_return(options_, number);
      const std::lock_guard lock(mutex_);
      if (one) {
        all_[static_cast<std::size_t>(number)] = std::move(*one);
        count_row();
      } else if (errors_.empty()) {
        errors_ = std::move(one.error());
      }
      changed_.notify_one();
    }
    const std::lock_guard lock(mutex_);
    --working_;
    changed_.notify_one();
  }

  /// The next number to rehearse; -1: enough.
  int take() {
    const std::lock_guard lock(mutex_);
    if (is_enough() || !errors_.empty()) return -1;
    const auto number = all_.size();
    if (!options_.of_each && number >= static_cast<std::size_t>(options_.count)) return -1;
    all_.emplace_back();
    return static_cast<int>(number);
  }

  void count_row() {
    for (; in_row_ < all_.size() && all_[in_row_] && !is_enough(); ++in_row_) {
      ++(all_[in_row_]->truth.is_good(options_.share_least) ? good_ : bad_);
    }
  }

  bool is_enough() const {
    return options_.of_each ? std::min(good_, bad_) >= *options_.of_each
                            : in_row_ >= static_cast<std::size_t>(options_.count);
  }

  double share_done() const {
    return options_.of_each ? static_cast<double>(std::min(good_, bad_)) / *options_.of_each
                            : static_cast<double>(in_row_) / options_.count;
  }

  const ReturnsOptions& options_;
  std::mutex mutex_;  ///< of what follows
  std::condition_variable changed_;
  std::deque<std::optional<RehearsedReturn>> all_;
  std::size_t in_row_ = 0;  ///< so many from the first on are done and counted
  int good_ = 0;
  int bad_ = 0;
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
    const ReturnsOptions& options, const std::function<void(double done)>& on_progress) {
  return ManyReturns(options).run(on_progress);
}

}  // namespace leadwright
