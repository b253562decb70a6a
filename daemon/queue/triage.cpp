// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/triage.h"

#include <algorithm>

namespace leadwright {
namespace {

/// Adds up what a way costs, each part by the chance that it comes so far.
class Tally {
 public:
  explicit Tally(const TriageRule& rule) : rule_(rule) {}

  void bay(Second time, double chance) { way_.bay += time * chance; }
  void charging(Second time, double chance) { way_.charging += time * chance; }
  void carry(double chance) { way_.hands += rule_.carry * chance; }
  void add(const Way& more) {
    way_.bay += more.bay;
    way_.charging += more.charging;
    way_.hands += more.hands;
  }

  Way way(Way::Begins begins, double decides) {
    way_.begins = begins;
    way_.decides = decides;
    way_.price =
        rule_.bay_hour * as_hours(way_.bay) + rule_.charging_hour * as_hours(way_.charging) + way_.hands;
    return way_;
  }

 private:
  const TriageRule& rule_;
  Way way_{Way::Begins::load};
};

/// Figures of some hundred batteries and prices from memory tell no smaller difference (P).
constexpr double tie = 0.05;

/// The chain's own way, unless the other is clearly cheaper.
Choice cheaper(const Way& chain, const Way& other) {
  return other.price < chain.price * (1.0 - tie) ? Choice{other, chain} : Choice{chain, other};
}

Second charge_time(const TriageRule& rule, double soc) {
  const double lacks = std::clamp(1.0 - soc, 0.0, 1.0);
  return rule.charge_top_up + std::max(rule.charge_empty - rule.charge_top_up, Second(0.0)) * lacks;
}

double of_odds(double chance, double times) {
  const double odds = chance / std::max(1.0 - chance, 1e-6) * times;
  return odds / (1.0 + odds);
}

/// Charged at a charging place, rested there, and back at a bay.
void charge_and_rest(Tally& tally, const TriageRule& rule, Second charge, double chance) {
  tally.carry(2.0 * chance);
  tally.charging(charge + rule.rest_charged, chance);
}

Way load_first(const TriageRule& rule, const TriageKnown& known, const TriageChances& chances) {
  Tally tally(rule);
  const double passes = 1.0 - chances.load;
  const double is_kept = passes - (chances.minutes - chances.both);
  tally.bay(rule.load, 1.0);
  charge_and_rest(tally, rule, rule.charge_top_up, passes);
  tally.bay(known.rated, passes);
  tally.carry(is_kept);
  tally.charging(rule.charge_empty, is_kept);
  return tally.way(Way::Begins::load, chances.load);
}

Way minutes_first(const TriageRule& rule, const TriageKnown& known, const TriageChances& chances) {
  Tally tally(rule);
  const double passes = 1.0 - chances.minutes;
  tally.bay(known.rated, 1.0);
  charge_and_rest(tally, rule, rule.charge_empty, passes);
  tally.bay(rule.load, passes);
  return tally.way(Way::Begins::minutes, chances.minutes);
}

PhraseValue hours_of(const char* name, Second time) {
  return said_amount(name, as_hours(time), 1, "h");
}

std::vector<PhraseValue> costs_of(const Way& way) {
  return {hours_of("bay", way.bay), hours_of("charging", way.charging),
          said_amount("hands", as_minutes(way.hands), 0, "min"),
          said_amount("price", as_minutes(way.price), 0, "min")};
}

Sentence begin_of(const Way& way) {
  const std::vector<PhraseValue> decides{said_amount("chance", 100.0 * way.decides, 0, "%")};
  switch (way.begins) {
    case Way::Begins::load:
      return say("weigh_load",
                 "Load test first: it alone decides {chance} of batteries of which as much is known",
                 decides);
    case Way::Begins::minutes:
      return say("weigh_minutes",
                 "Minutes first: they alone decide {chance} of batteries of which as much is known", decides);
    case Way::Begins::load_as_it_came:
      return say("weigh_load_now",
                 "Load test as it came: it alone decides {chance} of batteries of which as much is known",
                 decides);
    case Way::Begins::charge:
      return say("weigh_charge", "A charge first, then whichever test costs less");
    case Way::Begins::rest_here:
      return say("weigh_rest_here", "It rests where it is, since its tests follow here");
    case Way::Begins::rest_away:
      return say("weigh_rest_away", "It rests at a charging place, which frees the bay");
  }
  return {};
}

}  // namespace

std::optional<TriageChances> chances_of(const TriageRule& rule, const TriageKnown& known) {
  // The highest step that its resistance reaches; any, where nobody measured it.
  std::optional<Volt> step;
  for (const TriageRow& row : rule.rows) {
    const bool is_reached = known.product && *known.product >= row.product_from;
    if (is_reached && row.came_charged == known.came_charged) step = std::max(step, {row.product_from});
  }
  TriageChances sum;
  for (const TriageRow& row : rule.rows) {
    if (row.came_charged != known.came_charged || (step && row.product_from != *step)) continue;
    sum.batteries += row.batteries;
    sum.load += row.load_fails;
    sum.minutes += row.minutes_fail;
    sum.both += row.both_fail;
  }
  if (sum.batteries == 0) return std::nullopt;
  const bool is_old = rule.old_months > 0 && known.age_months.value_or(0) >= rule.old_months;
  const double odds = is_old ? rule.old_odds : 1.0;
  // Of 30 batteries without a failure one may fail all the same: half a battery more that did.
  const auto chance = [&](double fails) { return of_odds((fails + 0.5) / (sum.batteries + 1.0), odds); };
  sum.load = chance(sum.load);
  sum.minutes = chance(sum.minutes);
  sum.both = std::min({chance(sum.both), sum.load, sum.minutes});
  sum.both = std::max(sum.both, sum.load + sum.minutes - 1.0);
  return sum;
}

std::optional<Choice> choose_first_test(const TriageRule& rule, const TriageKnown& known) {
  const auto chances = chances_of(rule, known);
  if (!chances) return std::nullopt;
  return cheaper(load_first(rule, known, *chances), minutes_first(rule, known, *chances));
}

std::optional<Choice> choose_start(const TriageRule& rule, const TriageKnown& known) {
  const auto chances = chances_of(rule, known);
  const auto after = choose_first_test(rule, known);
  if (!chances || !after) return std::nullopt;
  const double passes = 1.0 - chances->load;
  const double is_kept = passes - (chances->minutes - chances->both);
  Tally at_once(rule);
  if (!known.is_rested) {
    const Way rest = choose_where_to_rest(rule).chosen;
    at_once.add(rest);
  }
  at_once.bay(rule.load, 1.0);
  charge_and_rest(at_once, rule, charge_time(rule, known.soc), passes);
  at_once.bay(known.rated, passes);
  at_once.carry(is_kept);
  at_once.charging(rule.charge_empty, is_kept);
  Tally charged(rule);
  charge_and_rest(charged, rule, charge_time(rule, known.soc), 1.0);
  charged.add(after->chosen);
  return cheaper(at_once.way(Way::Begins::load_as_it_came, chances->load),
                 charged.way(Way::Begins::charge, 0.0));
}

Way way_ahead(const TriageRule& rule, const TriageKnown& known, const TestsAhead& tests) {
  constexpr Second intake = minutes(2.5);  // C: its steps
  Tally tally(rule);
  tally.carry(1.0);
  if (tests.intake) tally.bay(intake, 1.0);
  if (tests.charge) charge_and_rest(tally, rule, charge_time(rule, known.soc), 1.0);
  if (tests.rest && !tests.charge) tally.charging(rule.rest_as_it_came, 1.0);
  const auto first = tests.load && tests.minutes ? choose_first_test(rule, known) : std::nullopt;
  if (first) {
    tally.add(first->chosen);
    return tally.way(first->chosen.begins, first->chosen.decides);
  }
  if (tests.load) tally.bay(rule.load, 1.0);
  if (tests.load && tests.minutes) charge_and_rest(tally, rule, rule.charge_top_up, 1.0);
  if (tests.minutes) {
    tally.bay(known.rated, 1.0);
    tally.carry(1.0);
    tally.charging(rule.charge_empty, 1.0);
  }
  return tally.way(tests.load ? Way::Begins::load : Way::Begins::minutes, 0.0);
}

Choice choose_where_to_rest(const TriageRule& rule) {
  Tally here(rule);
  here.bay(rule.rest_as_it_came, 1.0);
  Tally away(rule);
  away.carry(2.0);
  away.charging(rule.rest_as_it_came, 1.0);
  return cheaper(away.way(Way::Begins::rest_away, 0.0), here.way(Way::Begins::rest_here, 0.0));
}

Sentence said_of(const Choice& choice) {
  const bool is_rest =
      choice.chosen.begins == Way::Begins::rest_here || choice.chosen.begins == Way::Begins::rest_away;
  Sentence text = begin_of(choice.chosen);
  if (is_rest) {
    return text
        .say("weigh_rest_costs", ": {bay} of a bay, {charging} of a charging place and {hands} of hands",
             costs_of(choice.chosen))
        .say("weigh_rest_other", ", elsewhere {bay}, {charging} and {hands}.", costs_of(choice.other));
  }
  return text
      .say(
          "weigh_costs",
          "; to the letter {bay} of a bay, {charging} of a charging place and {hands} of hands are expected, "
          "worth {price}. ",
          costs_of(choice.chosen))
      .add(begin_of(choice.other))
      .say("weigh_other", ": {bay}, {charging} and {hands}, worth {price}.", costs_of(choice.other));
}

}  // namespace leadwright
