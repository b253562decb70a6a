// SPDX-License-Identifier: Apache-2.0
#include "tools/returns/summary.h"

#include <algorithm>
#include <array>
#include <limits>
#include <span>
#include <tuple>

namespace leadwright {

namespace {

constexpr double z_95 = 1.959964;
constexpr double open_end = std::numeric_limits<double>::infinity();
/// Ends of the curve's bins, as shares of the limit.
constexpr std::array<double, 15> minutes_edges{-1.0, -0.30, -0.20, -0.15, -0.10, -0.05, -0.02,   0.0,
                                               0.02, 0.05,  0.10,  0.15,  0.20,  0.30,  open_end};
/// The same in volts.
constexpr std::array<double, 13> load_edges{-open_end, -1.0, -0.5, -0.3, -0.2, -0.1, 0.0,
                                            0.1,       0.2,  0.3,  0.5,  1.0,  1e2};
constexpr Second midnight = hours(24.0);

void count(Count& into, bool hit) {
  ++into.trials;
  if (hit) ++into.hits;
}

/// A reason without its figures, so that equal ones can be counted.
std::string without_figures(const std::string& reason) {
  std::string text;
  for (const char letter : reason) {
    const bool is_figure = (letter >= '0' && letter <= '9') || letter == '.';
    if (!is_figure)
      text.push_back(letter);
    else if (text.empty() || text.back() != '#')
      text.push_back('#');
  }
  return text;
}

struct Sums {
  std::vector<const ReturnVisit*> visits;
  std::vector<Second> arrivals;
  void add(const ReturnVisit& visit, Second arrives) {
    visits.push_back(&visit);
    arrivals.push_back(arrives);
  }
};

void count_errors(Summary& sum, const RehearsedReturn& each, Verdict verdict) {
  const bool good = each.truth.is_good(sum.line.share);
  const bool is_near = each.truth.is_near(sum.line.share);
  if (verdict == (good ? Verdict::rejected : Verdict::accepted))
    sum.wrong.push_back({each.one.number, each.one.kind, verdict});
  if (each.truth.is_good_if_filled(sum.line.share))
    count(sum.false_rejects_if_filled, verdict == Verdict::rejected);
  else
    count(sum.false_accepts_if_filled, verdict == Verdict::accepted);
  count(sum.undecided, verdict == Verdict::undecided);
  const bool is_refused = sum.asks_consent && !each.one.owner_agrees;
  count(sum.undecided_without_consent, verdict == Verdict::undecided && is_refused);
  count(sum.undecided_by_kind[each.one.kind], verdict == Verdict::undecided);
  if (good) {
    count(sum.false_rejects, verdict == Verdict::rejected);
    count(sum.false_rejects_by_kind[each.one.kind], verdict == Verdict::rejected);
    if (is_near) count(sum.near_false_rejects, verdict == Verdict::rejected);
  } else {
    count(sum.false_accepts, verdict == Verdict::accepted);
    count(sum.false_accepts_by_kind[each.one.kind], verdict == Verdict::accepted);
    if (is_near) count(sum.near_false_accepts, verdict == Verdict::accepted);
  }
}

std::vector<CurveBin> bins(std::span<const double> edges) {
  std::vector<CurveBin> all;
  for (std::size_t i = 0; i + 1 < edges.size(); ++i) all.push_back({edges[i], edges[i + 1], 0, 0, 0});
  return all;
}

void count_in(std::vector<CurveBin>& curve, double at, Verdict verdict) {
  for (CurveBin& bin : curve) {
    if (at < bin.least || at >= bin.most) continue;
    if (verdict == Verdict::accepted) ++bin.accepted;
    if (verdict == Verdict::rejected) ++bin.rejected;
    if (verdict == Verdict::undecided) ++bin.undecided;
  }
}

void count_curves(Summary& sum, const Truth& truth, Verdict verdict) {
  if (truth.is_by_minutes()) count_in(sum.curve, truth.distance(sum.line.share), verdict);
  if (truth.is_by_load(sum.line.share)) count_in(sum.load_curve, truth.load_margin.si(), verdict);
}

}  // namespace

const char* word(Verdict verdict) {
  switch (verdict) {
    case Verdict::accepted:
      return "accepted";
    case Verdict::rejected:
      return "rejected";
    case Verdict::undecided:
      return "undecided";
  }
  return "";
}

AcceptanceLine line_of(const Policy& policy, char accepted_from) {
  const double share = accepted_from == 'A'   ? policy.share_a
                       : accepted_from == 'B' ? policy.share_b
                                              : policy.share_c;
  return {accepted_from, share};
}

Verdict verdict_of(const ReturnVisit& visit, const AcceptanceLine& line) {
  if (visit.refused) return Verdict::rejected;
  if (!visit.grade || visit.grade->letter == 'U') return Verdict::undecided;
  return visit.grade->letter <= line.accepted_from ? Verdict::accepted : Verdict::rejected;
}

ShareInterval Count::interval() const {
  return wilson_interval(hits, trials, z_95);
}

Costs costs_of(const std::vector<const ReturnVisit*>& visits, const std::vector<Second>& arrivals,
               Second closes) {
  Costs sum;
  int decided = 0;
  int left = 0;
  for (std::size_t i = 0; i < visits.size(); ++i) {
    const ReturnVisit& visit = *visits[i];
    ++sum.visits;
    sum.hands_on += visit.hands_on;
    sum.bay += visit.stayed(PlaceKind::bay);
    sum.charging_place += visit.stayed(PlaceKind::charging);
    sum.bay_runs += visit.bay_runs;
    sum.charging_runs += visit.charging_runs;
    sum.drawn += visit.drawn;
    sum.charged += visit.charged;
    if (visit.decided && ++decided > 0) sum.to_verdict += *visit.decided;
    if (visit.left && ++left > 0) sum.to_leaving += *visit.left;
    count(sum.same_day, visit.decided && arrivals[i] + *visit.decided <= std::min(closes, midnight));
  }
  if (sum.visits == 0) return sum;
  const double n = sum.visits;
  for (Second* time : {&sum.hands_on, &sum.bay, &sum.charging_place, &sum.bay_runs, &sum.charging_runs})
    *time = *time / n;
  for (Joule* energy : {&sum.drawn, &sum.charged}) *energy = *energy / n;
  sum.to_verdict = sum.to_verdict / std::max(decided, 1);
  sum.to_leaving = sum.to_leaving / std::max(left, 1);
  return sum;
}

Summary summarise(const std::vector<RehearsedReturn>& all, const Policy& policy, char accepted_from,
                  const ReturnsMix& mix) {
  Summary sum;
  sum.line = line_of(policy, accepted_from);
  sum.asks_consent = policy.complete_discharge == CompleteDischarge::with_consent;
  sum.count = static_cast<int>(all.size());
  sum.curve = bins(minutes_edges);
  sum.load_curve = bins(load_edges);
  std::map<std::tuple<std::string, bool, Verdict>, Sums> rows;
  Sums chosen;
  Sums full;
  std::vector<std::vector<Stay>> stays;
  for (const RehearsedReturn& each : all) {
    const Verdict verdict = verdict_of(each.visit, sum.line);
    count_errors(sum, each, verdict);
    count_curves(sum, each.truth, verdict);
    rows[{each.one.kind, each.truth.is_good(sum.line.share), verdict}].add(each.visit, each.one.arrives);
    chosen.add(each.visit, each.one.arrives);
    if (!each.visit.unfinished.empty()) ++sum.unfinished[without_figures(each.visit.unfinished)];
    if (each.full) {
      full.add(*each.full, each.one.arrives);
      count(sum.full_undecided, verdict_of(*each.full, sum.line) == Verdict::undecided);
    }
    stays.push_back(each.visit.stays);
  }
  const Second closes = mix.people.closes;
  sum.all = costs_of(chosen.visits, chosen.arrivals, closes);
  sum.full = costs_of(full.visits, full.arrivals, closes);
  for (const auto& [key, group] : rows) {
    sum.rows.push_back({std::get<0>(key), std::get<1>(key), std::get<2>(key),
                        costs_of(group.visits, group.arrivals, closes)});
  }
  sum.queue = replay_queue(stays, mix.queue, mix.people, 1);
  return sum;
}

}  // namespace leadwright
