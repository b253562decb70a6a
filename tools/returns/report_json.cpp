// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include "daemon/store/json.h"
#include "tools/returns/accuracy.h"
#include "tools/returns/report.h"

namespace leadwright {

namespace {

template <class Range, class Each>
std::string json_list(const Range& range, const Each& each) {
  std::string text = "[";
  for (const auto& one : range) {
    if (text.size() > 1) text += ",\n    ";
    text += each(one);
  }
  return text + "]";
}

std::string count_json(const Count& count) {
  const ShareInterval interval = count.interval();
  return fmt::format(R"({{"count":{},"of":{},"share":{},"wilson_95_low":{},"wilson_95_high":{}}})",
                     count.hits, count.trials, count.trials > 0 ? json_number(count.share()) : "null",
                     json_number(interval.low), json_number(interval.high));
}

std::string kinds_json(const std::map<std::string, Count>& kinds) {
  std::string text = "{";
  for (const auto& [kind, count] : kinds) {
    if (text.size() > 1) text += ",\n    ";
    text += fmt::format("{}:{}", json_string(kind), count_json(count));
  }
  return text + "}";
}

std::string costs_json(const Costs& costs) {
  if (costs.visits == 0) return "null";
  return fmt::format(
      R"({{"visits":{},"hands_on_s":{},"to_verdict_s":{},"to_leaving_s":{},"bay_s":{},"bay_runs_s":{},)"
      R"("charging_place_s":{},"charging_place_runs_s":{},"drawn_wh":{},"charged_wh":{},"same_day":{}}})",
      costs.visits, json_number(costs.hands_on.si()), json_number(costs.to_verdict.si()),
      json_number(costs.to_leaving.si()), json_number(costs.bay.si()), json_number(costs.bay_runs.si()),
      json_number(costs.charging_place.si()), json_number(costs.charging_runs.si()),
      json_number(costs.drawn.si() / 3600.0), json_number(costs.charged.si() / 3600.0),
      count_json(costs.same_day));
}

std::string row_json(const CostRow& row) {
  return fmt::format(R"({{"kind":{},"truth":"{}","verdict":"{}","costs":{}}})", json_string(row.kind),
                     row.is_good ? "good" : "bad", word(row.verdict), costs_json(row.costs));
}

/// Both ends under these keys.
std::string bin_json(const CurveBin& bin, std::string_view least, std::string_view most) {
  const Count accepted{bin.accepted, bin.accepted + bin.rejected + bin.undecided};
  return fmt::format(R"({{"{}":{},"{}":{},"rejected":{},"undecided":{},"accepted":{}}})", least,
                     json_number(bin.least), most, json_number(bin.most), bin.rejected, bin.undecided,
                     count_json(accepted));
}

std::string queue_json(const QueueLength& each) {
  return fmt::format(
      R"({{"bays":{},"charging_places":{},"waiting_mean":{},"waiting_most":{},"wait_mean_s":{},)"
      R"("bays_busy":{},"charging_places_busy":{},"keeps_up":{}}})",
      each.bays, each.charging_places, json_number(each.waiting_mean), each.waiting_most,
      json_number(each.wait_mean.si()), json_number(each.bays_busy), json_number(each.charging_busy),
      each.keeps_up);
}

std::string return_json(const RehearsedReturn& each, const AcceptanceLine& line) {
  const Verdict verdict = verdict_of(each.visit, line);
  const auto time = [](const std::optional<Second>& at) { return at ? json_number(at->si()) : "null"; };
  const std::string letter =
      each.visit.grade ? json_string(std::string(1, each.visit.grade->letter)) : std::string("null");
  return fmt::format(
      R"({{"number":{},"kind":{},"truth":"{}","distance":{},"load_margin_v":{},)"
      R"("truth_min":{},"truth_if_filled_min":{},"measured_min":{},"grade":{},"reason":{},)"
      R"("verdict":"{}","decided_s":{},"left_s":{},"hands_on_s":{},"bay_s":{},"charging_place_s":{}}})",
      each.one.number, json_string(each.one.kind), each.truth.is_good(line.share) ? "good" : "bad",
      json_number(each.truth.distance(line.share)), json_number(each.truth.load_margin.si()),
      json_number(as_minutes(each.truth.minutes)), json_number(as_minutes(each.truth.minutes_if_filled)),
      each.visit.minutes ? json_number(each.visit.minutes->value) : "null", letter,
      each.visit.grade ? json_string(each.visit.grade->reason) : "null", word(verdict),
      time(each.visit.decided), time(each.visit.left), json_number(each.visit.hands_on.si()),
      json_number(each.visit.stayed(PlaceKind::bay).si()),
      json_number(each.visit.stayed(PlaceKind::charging).si()));
}

}  // namespace

std::string returns_json(const Summary& sum, const std::vector<RehearsedReturn>& all,
                         const RehearsalFacts& facts) {
  const auto story = [&sum](const RehearsedReturn& each) { return return_json(each, sum.line); };
  std::string unfinished = "{";
  for (const auto& [reason, times] : sum.unfinished)
    unfinished += fmt::format("{}{}:{}", unfinished.size() > 1 ? "," : "", json_string(reason), times);
  unfinished += "}";
  std::string text = fmt::format(
      "{{\"policy\":{},\n \"mix\":{},\n \"seed\":{},\n \"count\":{},\n \"accepted_from\":\"{}\",\n"
      " \"good_from_share\":{},\n \"cpu_s\":{},\n \"threads\":{},\n",
      json_string(facts.policy), json_string(facts.mix), facts.seed, sum.count, sum.line.accepted_from,
      json_number(sum.line.share), json_number(facts.cpu.si()), facts.threads);
  text += fmt::format(
      " \"false_accepts\":{},\n \"false_accepts_near_the_limit\":{},\n \"false_rejects\":{},\n"
      " \"false_rejects_near_the_limit\":{},\n \"undecided\":{},\n",
      count_json(sum.false_accepts), count_json(sum.near_false_accepts), count_json(sum.false_rejects),
      count_json(sum.near_false_rejects), count_json(sum.undecided));
  text += fmt::format(" \"undecided_without_consent\":{},\n", count_json(sum.undecided_without_consent));
  text += fmt::format(" \"false_accepts_if_filled\":{},\n \"false_rejects_if_filled\":{},\n",
                      count_json(sum.false_accepts_if_filled), count_json(sum.false_rejects_if_filled));
  text += fmt::format(
      " \"false_accepts_by_kind\":{},\n \"false_rejects_by_kind\":{},\n \"undecided_by_kind\":{},\n"
      " \"unfinished\":{},\n",
      kinds_json(sum.false_accepts_by_kind), kinds_json(sum.false_rejects_by_kind),
      kinds_json(sum.undecided_by_kind), unfinished);
  text += fmt::format(
      " \"costs\":{},\n \"costs_by_verdict\":{},\n \"full_sequence\":{},\n"
      " \"full_sequence_undecided\":{},\n",
      costs_json(sum.all), json_list(sum.rows, row_json), costs_json(sum.full),
      count_json(sum.full_undecided));
  const auto by_minutes = [](const CurveBin& bin) {
    return bin_json(bin, "distance_least", "distance_most");
  };
  const auto by_load = [](const CurveBin& bin) {
    return bin_json(bin, "load_margin_least_v", "load_margin_most_v");
  };
  text += fmt::format(" \"minutes_accuracy\":{},\n \"told\":{},\n", accuracy_json(minutes_accuracy(all)),
                      told_json(told_by_kind(all)));
  text += fmt::format(" \"acceptance_by_load_margin\":{},\n", json_list(sum.load_curve, by_load));
  text += fmt::format(
      " \"acceptance_by_distance\":{},\n \"arrivals_a_day\":{},\n \"queue\":{},\n \"returns\":{},\n "
      "\"rests_on\":{}}}\n",
      json_list(sum.curve, by_minutes), json_number(facts.queue.arrivals_a_day),
      json_list(sum.queue, queue_json), json_list(all, story), strings_json(returns_depend_on()));
  return text;
}

}  // namespace leadwright
