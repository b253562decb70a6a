// SPDX-License-Identifier: Apache-2.0
#include "tools/returns/queue_replay.h"

#include <algorithm>
#include <cmath>
#include <deque>
#include <queue>

#include "tools/benchsim/sim_random.h"

namespace leadwright {

namespace {

constexpr Second whole_day = hours(24.0);
/// Of a place kind's time: more than that is asked of it than it has to give.
constexpr double busy_max = 0.98;

struct Happening {
  Second at;
  std::uint64_t order = 0;  ///< of two at the same moment, the first
  std::size_t battery = 0;
  bool frees = false;  ///< it leaves a place; else it comes
  bool operator>(const Happening& other) const {
    return at != other.at ? at > other.at : order > other.order;
  }
};

struct PlaceKindState {
  int free = 0;
  int all = 0;
  std::deque<std::size_t> waiting;
  Second occupied;
};

class Replay {
 public:
  Replay(const std::vector<std::vector<Stay>>& visits, const std::vector<Second>& arrivals, int bays,
         int charging_places)
      : visits_(visits), next_stay_(arrivals.size(), 0), asked_(arrivals.size()) {
    bays_.free = bays_.all = bays;
    charging_.free = charging_.all = charging_places;
    for (std::size_t i = 0; i < arrivals.size(); ++i) events_.push({arrivals[i], order_++, i, false});
    arrivals_end_ = arrivals.empty() ? Second(0.0) : arrivals.back();
  }

  QueueLength run() {
    while (!events_.empty()) {
      const Happening event = events_.top();
      events_.pop();
      pass_to(event.at);
      if (event.frees) leave(event.battery);
      ask(event.battery);
    }
    return measured();
  }

 private:
  PlaceKindState& of(const Stay& stay) { return stay.kind == PlaceKind::bay ? bays_ : charging_; }
  const std::vector<Stay>& stays(std::size_t battery) const { return visits_[battery % visits_.size()]; }
  const Stay& stay(std::size_t battery) const { return stays(battery)[next_stay_[battery]]; }
  std::size_t waiting() const { return bays_.waiting.size() + charging_.waiting.size(); }

  /// The length of the queue counts while batteries still come.
  void pass_to(Second at) {
    const Second until = std::min(at, arrivals_end_);
    if (until > now_) waited_ += static_cast<double>(waiting()) * (until - now_);
    now_ = std::max(now_, at);
  }
  void ask(std::size_t battery) {
    if (next_stay_[battery] >= stays(battery).size()) return;
    PlaceKindState& places = of(stay(battery));
    asked_[battery] = now_;
    places.waiting.push_back(battery);
    serve(places);
    if (now_ <= arrivals_end_) most_ = std::max(most_, waiting());
  }
  void serve(PlaceKindState& places) {
    while (places.free > 0 && !places.waiting.empty()) {
      const std::size_t battery = places.waiting.front();
      places.waiting.pop_front();
      --places.free;
      wait_sum_ += now_ - asked_[battery];
      const Second time = stay(battery).to - stay(battery).from;
      places.occupied += time;
      events_.push({now_ + time, order_++, battery, true});
    }
  }
  void leave(std::size_t battery) {
    PlaceKindState& places = of(stay(battery));
    ++next_stay_[battery];
    ++places.free;
    serve(places);
  }
  QueueLength measured() const {
    QueueLength length;
    length.bays = bays_.all;
    length.charging_places = charging_.all;
    const double span = std::max(arrivals_end_.si(), 1.0);
    length.waiting_mean = waited_.si() / span;
    length.waiting_most = static_cast<int>(most_);
    length.wait_mean = wait_sum_ / static_cast<double>(asked_.size());
    length.bays_busy = bays_.occupied.si() / (span * bays_.all);
    length.charging_busy = charging_.occupied.si() / (span * charging_.all);
    length.keeps_up = length.bays_busy < busy_max && length.charging_busy < busy_max;
    return length;
  }

  const std::vector<std::vector<Stay>>& visits_;
  std::vector<std::size_t> next_stay_;
  std::vector<Second> asked_;
  std::priority_queue<Happening, std::vector<Happening>, std::greater<>> events_;
  std::uint64_t order_ = 0;
  PlaceKindState bays_;
  PlaceKindState charging_;
  Second arrivals_end_;
  Second now_;
  Second waited_;
  Second wait_sum_;
  std::size_t most_ = 0;
};

/// Random moments of the opening hours, in their order.
std::vector<Second> arrivals(std::size_t count, const QueueShape& shape, const People& people,
                             std::uint64_t seed) {
  SimRandom random(seed, "arrivals");
  const double days = std::ceil(static_cast<double>(count) / shape.arrivals_a_day);
  const Second open = people.closes - people.opens;
  std::vector<Second> all;
  for (std::size_t i = 0; i < count; ++i) {
    const double share = std::min(0.5 * (random.even() + 1.0) * days, std::nextafter(days, 0.0));
    all.push_back(whole_day * std::floor(share) + people.opens + open * (share - std::floor(share)));
  }
  std::sort(all.begin(), all.end());
  return all;
}

}  // namespace

std::vector<QueueLength> replay_queue(const std::vector<std::vector<Stay>>& visits, const QueueShape& shape,
                                      const People& people, std::uint64_t seed) {
  if (visits.empty()) return {};
  const std::size_t count = std::max<std::size_t>(visits.size(), arrivals_least);
  const std::vector<Second> at = arrivals(count, shape, people, seed);
  std::vector<QueueLength> lengths;
  for (const int bays : shape.bays) {
    for (const int places : shape.charging_places) lengths.push_back(Replay(visits, at, bays, places).run());
  }
  return lengths;
}

}  // namespace leadwright
