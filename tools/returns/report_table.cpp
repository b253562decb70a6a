// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "tools/returns/accuracy.h"
#include "tools/returns/report.h"
#include "tools/returns/triage_figures.h"

namespace leadwright {

namespace {

constexpr double aim_error = 0.005;
constexpr double aim_undecided = 0.05;
constexpr double aim_bay_share = 0.25;

std::string errors_line(const char* what, const Count& count, double aim) {
  const ShareInterval interval = count.interval();
  std::string text =
      fmt::format("{:<34} {:5} of {:5}  {:6.2f} %  ({:.2f} to {:.2f} %)", what, count.hits, count.trials,
                  100.0 * count.share(), 100.0 * interval.low, 100.0 * interval.high);
  if (aim > 0.0) {
    text += fmt::format("  aim: at most {:g} % at the upper end: {}", 100.0 * aim,
                        interval.high <= aim ? "met" : "MISSED");
  }
  return text.append("\n");
}

std::string errors_by_kind(const char* what, const std::map<std::string, Count>& kinds) {
  std::string text;
  for (const auto& [kind, count] : kinds) {
    if (count.hits > 0) text += fmt::format("    {} {}: {} of {}\n", what, kind, count.hits, count.trials);
  }
  return text;
}

std::string wrong_numbers(const Summary& sum) {
  constexpr std::size_t most = 20;
  if (sum.wrong.empty()) return "";
  std::string text = "told wrongly (--only NUMBER tells the story):";
  for (std::size_t i = 0; i < std::min(most, sum.wrong.size()); ++i)
    text += fmt::format(" {}", sum.wrong[i].number);
  return text.append(sum.wrong.size() > most ? " ...\n" : "\n");
}

std::string costs_cells(const Costs& costs) {
  const auto wh = [](Joule energy) { return energy.si() / 3600.0; };
  return fmt::format("{:6.1f} {:8.1f} {:8.1f} {:7.2f} {:7.2f} {:8.1f} {:8.1f} {:7.0f} {:7.0f} {:6.0f} %",
                     as_minutes(costs.hands_on), as_hours(costs.to_verdict), as_hours(costs.to_leaving),
                     as_hours(costs.bay), as_hours(costs.bay_runs), as_hours(costs.charging_place),
                     as_hours(costs.charging_runs), wh(costs.drawn), wh(costs.charged),
                     100.0 * costs.same_day.share());
}

std::string costs_table(const Summary& sum) {
  std::string text =
      fmt::format("{:<22} {:<5} {:<9} {:>6} {:>6} {:>8} {:>8} {:>7} {:>7} {:>8} {:>8} {:>7} {:>7} {:>8}\n",
                  "what it is", "truth", "verdict", "n", "hands", "verdict", "leaves", "bay", "of it",
                  "charging", "of it", "drawn", "charged", "same day");
  text += fmt::format("{:<22} {:<5} {:<9} {:>6} {:>6} {:>8} {:>8} {:>7} {:>7} {:>8} {:>8} {:>7} {:>7}\n", "",
                      "", "", "", "min", "h", "h", "h", "runs h", "place h", "runs h", "Wh", "Wh");
  for (const CostRow& row : sum.rows) {
    text += fmt::format("{:<22} {:<5} {:<9} {:>6} {}\n", row.kind, row.is_good ? "good" : "bad",
                        word(row.verdict), row.costs.visits, costs_cells(row.costs));
  }
  text += fmt::format("{:<22} {:<5} {:<9} {:>6} {}\n", "all", "", "", sum.all.visits, costs_cells(sum.all));
  if (sum.full.visits > 0) {
    text += fmt::format("{:<22} {:<5} {:<9} {:>6} {}\n", "full sequence, one bay", "", "", sum.full.visits,
                        costs_cells(sum.full));
  }
  return text;
}

std::string against_full(const Summary& sum) {
  if (sum.full.visits == 0) return "The full sequence was left out.\n";
  const auto ratio = [](Second one, Second other) { return other > Second(0.0) ? one / other : 0.0; };
  const double stayed = ratio(sum.all.bay, sum.full.bay);
  const double worked = ratio(sum.all.bay_runs, sum.full.bay_runs);
  return fmt::format(
             "test-bay hours against the full sequence: clamped on {:.3f}, in runs {:.3f}  aim: at most "
             "{:g}: {}\n",
             stayed, worked, aim_bay_share,
             stayed <= aim_bay_share && worked <= aim_bay_share ? "met" : "MISSED") +
         fmt::format("hours to the verdict {:.2f}, to leaving {:.2f}, hands-on minutes {:.2f} of its own\n",
                     ratio(sum.all.to_verdict, sum.full.to_verdict),
                     ratio(sum.all.to_leaving, sum.full.to_leaving),
                     ratio(sum.all.hands_on, sum.full.hands_on)) +
         errors_line("undecided by the full sequence", sum.full_undecided, 0.0);
}

std::string curve_table(const char* head, const std::vector<CurveBin>& curve, double unit) {
  std::string text = fmt::format("{:<28} batteries  accepted  rejected  undecided\n", head);
  for (const CurveBin& bin : curve) {
    const int n = bin.accepted + bin.rejected + bin.undecided;
    if (n == 0) continue;
    const bool is_first = &bin == &curve.front();
    const bool is_last = &bin == &curve.back();
    const std::string from = is_first ? std::string("below") : fmt::format("{:+.1f} to", unit * bin.least);
    const std::string to = is_last ? std::string("above") : fmt::format("{:+.1f}", unit * bin.most);
    text += fmt::format("  {:>9} {:<8}           {:>6}   {:>5.1f} %   {:>5.1f} %    {:>5.1f} %\n", from, to,
                        n, 100.0 * bin.accepted / n, 100.0 * bin.rejected / n, 100.0 * bin.undecided / n);
  }
  return text;
}

std::string queue_table(const Summary& sum, const QueueShape& shape) {
  std::string text = fmt::format(
      "Queue at {:g} a day (measured stays replayed, first come, first served):\n"
      "bays  charging places  waiting mean  most  wait of one  bays busy  places busy\n",
      shape.arrivals_a_day);
  for (const QueueLength& each : sum.queue) {
    text += fmt::format("{:>4}  {:>15}  {:>12.1f}  {:>4}  {:>8.1f} h  {:>7.0f} %  {:>9.0f} %{}\n", each.bays,
                        each.charging_places, each.waiting_mean, each.waiting_most, as_hours(each.wait_mean),
                        100.0 * each.bays_busy, 100.0 * each.charging_busy,
                        each.keeps_up ? "" : "  does not keep up: it grows for ever");
  }
  return text;
}

std::string visit_story(const char* head, const ReturnVisit& visit, const AcceptanceLine& line) {
  std::string text = fmt::format("{}: {}", head, word(verdict_of(visit, line)));
  if (visit.grade) text += fmt::format(", grade {}: {}", visit.grade->letter, visit.grade->reason);
  if (!visit.unfinished.empty()) text += fmt::format("\n  {}", visit.unfinished);
  if (visit.grade) {
    for (const GradeRule& rule : visit.grade->rules) text += fmt::format("\n  rule: {}", rule.text);
  }
  text += "\n  runs:";
  for (const std::string& run : visit.runs) text += fmt::format(" {};", run);
  const auto when = [](const std::optional<Second>& at) {
    return at ? fmt::format("{:.1f} h", as_hours(*at)) : std::string("never");
  };
  text += fmt::format(
      "\n  decided {}, left {}, {:.0f} min of hands in {} acts, bay {:.1f} h (runs {:.1f}), "
      "charging place {:.1f} h (runs {:.1f})\n",
      when(visit.decided), when(visit.left), as_minutes(visit.hands_on), visit.acts,
      as_hours(visit.stayed(PlaceKind::bay)), as_hours(visit.bay_runs),
      as_hours(visit.stayed(PlaceKind::charging)), as_hours(visit.charging_runs));
  return text;
}

}  // namespace

const std::vector<std::string>& returns_depend_on() {
  static const std::vector<std::string> all{
      "The batteries are simulated, by a model of this house that shares no formula with the grading.",
      "No real battery and no outside model stands behind a figure.",
      "Kinds, shares, severities and people's times are the mix's, most of them practice without a source.",
      "The truth is the model's own, at 25 degC after what it takes in 24 h at up to 2.40 V a cell.",
      "It is minutes at 25 A and volts at 15 s under half the CCA; sulphated plates never get full.",
      "A cell that empties itself and a cracked case are truly bad, whatever the battery gives.",
      "The bay's load draws half the CCA of any of them; with a smaller one no load test is a measurement.",
      "Instruments err within what their profiles declare and never fail; lines lose nothing; nobody errs.",
      "The full sequence ends where the bench itself finds a fault; a shop without it would go on.",
      "Each battery has the bench to itself; what it waits for others is in the queue alone."};
  return all;
}

std::string returns_table(const Summary& sum, const std::vector<RehearsedReturn>& all,
                          const RehearsalFacts& facts) {
  std::string text = fmt::format(
      "{} returns of \"{}\", seed {}, under \"{}\": accepted from {} on, good from {:.0f} % of the "
      "rating\n\n",
      sum.count, facts.mix, facts.seed, facts.policy, sum.line.accepted_from, 100.0 * sum.line.share);
  text += errors_line("accepted though truly bad", sum.false_accepts, aim_error);
  text += errors_by_kind("accepted", sum.false_accepts_by_kind);
  text += errors_line("  of those next to a limit", sum.near_false_accepts, 0.0);
  text += errors_line("rejected though truly good", sum.false_rejects, aim_error);
  text += errors_by_kind("rejected", sum.false_rejects_by_kind);
  text += errors_line("  of those next to a limit", sum.near_false_rejects, 0.0);
  text += wrong_numbers(sum);
  text += errors_line("accepted, bad even if filled", sum.false_accepts_if_filled, 0.0);
  text += errors_line("rejected, good if it were filled", sum.false_rejects_if_filled, 0.0);
  text += errors_line("undecided", sum.undecided, aim_undecided);
  if (sum.asks_consent)
    text += errors_line("  of them for want of consent", sum.undecided_without_consent, 0.0);
  text += errors_by_kind("undecided", sum.undecided_by_kind);
  for (const auto& [reason, times] : sum.unfinished) text += fmt::format("    {} x: {}\n", times, reason);
  text.append("\n").append(costs_table(sum)).append("\n").append(against_full(sum)).append("\n");
  text.append(accuracy_table(minutes_accuracy(all))).append("\n");
  text.append(told_table(told_by_kind(all))).append("\n");
  text.append(triage_figures(all, sum.line.share)).append("\n");
  text.append(curve_table("minutes from the limit, %", sum.curve, 100.0)).append("\n");
  text.append(curve_table("volts under half the CCA, V", sum.load_curve, 1.0))
      .append("\n")
      .append(queue_table(sum, facts.queue));
  text += fmt::format("\nCPU {:.0f} s = {:.3f} h, {:.2f} s a return, {} threads\n", facts.cpu.si(),
                      as_hours(facts.cpu), facts.cpu.si() / std::max(sum.count, 1), facts.threads);
  text += "\nWhat this rests on:\n";
  for (const std::string& each : returns_depend_on()) text.append("- ").append(each).append("\n");
  return text;
}

std::string return_story(const RehearsedReturn& each, const AcceptanceLine& line) {
  const ReturnCase& one = each.one;
  std::string text = fmt::format(
      "Return {}: {}, {:.0f} Ah, rated {:.0f} min, wear {:.2f}, charged {:.2f}, {:.1f} degC\n"
      "  truth: {:.1f} min ({:.3f} of the rating; {:.1f} min if it could be filled), {:+.2f} V above the "
      "least under half the CCA: {}\n",
      one.number, one.kind, as_ampere_hours(one.make.c20), as_minutes(one.rated), one.make.wear,
      one.make.charged, one.make.ambient.degc(), as_minutes(each.truth.minutes), each.truth.share,
      as_minutes(each.truth.minutes_if_filled), each.truth.load_margin.si(),
      each.truth.is_good(line.share) ? "good" : "bad");
  text += visit_story("Bench", each.visit, line);
  if (each.full) text += visit_story("Full sequence", *each.full, line);
  return text;
}

}  // namespace leadwright
