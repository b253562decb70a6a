// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/flags.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "daemon/battery/cranking_rating.h"
#include "daemon/battery/peukert.h"
#include "daemon/battery/shelf.h"
#include "daemon/battery/uncertainty.h"
#include "daemon/grading/age_flags.h"
#include "daemon/grading/charge_flags.h"
#include "daemon/grading/monitor_flags.h"
#include "daemon/grading/signs.h"
#include "daemon/grading/warranty.h"

namespace leadwright {
namespace {

/// P/M: sound blocks lie at resistance x cold cranking current = 2.4 to 3.2 V; twice or half that is another
/// label's battery, or a fault (shared domain notes, section 6).
constexpr Volt r_times_cca_lowest{1.2};
constexpr Volt r_times_cca_highest{6.4};
/// F: older texts have exponents up to 1.6; below 1 a battery would give more at a higher current.
constexpr double exponent_lowest = 1.0;
constexpr double exponent_highest = 1.6;

void flag_receipt(const Evidence& evidence, std::vector<Sentence>& flags) {
  const Story& story = evidence.story;
  if (evidence.receipt_seen_before) {
    flags.push_back(say("flag_receipt", "Receipt {receipt} was shown before, with another battery.",
                        {said_words("receipt", story.receipt)}));
  }
  if (is_sold_before_made(evidence)) {
    flags.push_back(
        say("flag_sold_before_made",
            "Sold on {sold}, before it was made ({made}): read the date code and the receipt again.",
            {said_words("sold", story.sold_on), said_words("made", evidence.nameplate.manufactured_on)}));
  }
  const auto sold = Utc::parse_from_month(story.sold_on);
  if (sold && evidence.judged_at && *sold > *evidence.judged_at) {
    flags.push_back(say("flag_sold_in_future", "The date of sale, {sold}, lies in the future.",
                        {said_words("sold", story.sold_on)}));
  }
}

void flag_label(const Nameplate& plate, std::vector<Sentence>& flags) {
  if (plate.c20 && plate.reserve_capacity) {
    const auto law = rate_law(plate.c20->value, plate.reserve_capacity->value);
    if (law && (law->k < exponent_lowest || law->k > exponent_highest)) {
      flags.push_back(
          say("flag_exponent",
              "The label's 20-hour and reserve capacity give a rate exponent of {exponent}, which "
              "no lead battery has: read the label again.",
              {said_amount("exponent", law->k, 2, {})}));
    }
  }
  if (plate.cca && plate.cca->standard == RatingStandard::en) {
    const Ampere rated = plate.cca->value;
    if (en_step_down(rated) != rated) {
      flags.push_back(say(
          "flag_en_step",
          "EN knows no rating of {rated} ({below} and {above} are): another standard, or a "
          "misreading.",
          {said_amount("rated", rated.si(), 0, "A"), said_amount("below", en_step_down(rated).si(), 0, {}),
           said_amount("above", en_step_up(rated).si(), 0, "A")}));
    }
  }
}

void flag_resistance(const Evidence& evidence, std::vector<Sentence>& flags) {
  const Finding* resistance = newest(evidence, Measurand::resistance);
  const auto& cca = evidence.nameplate.cca;
  if (resistance == nullptr || !cca) return;
  const Volt product = Ohm(resistance->value) * cca->value;
  if (product >= r_times_cca_lowest && product <= r_times_cca_highest) return;
  Sentence flag =
      say("flag_resistance", "A resistance of {resistance} does not belong to a label of {rated}: ",
          {said_amount("resistance", 1000.0 * resistance->value, 2, "mohm"),
           said_amount("rated", cca->value.si(), 0, "A")});
  if (product > r_times_cca_highest) {
    flag.say("flag_resistance_high",
             "more than twice what is usual. Look at clamps and posts first, then at the label.");
  } else {
    flag.say("flag_resistance_low", "less than half of what is usual. Is this the battery of this label?");
  }
  flags.push_back(std::move(flag));
}

/// What standing explains, and what is less than that.
void flag_shelf(const Evidence& evidence, const Policy& policy, std::vector<Sentence>& flags) {
  constexpr double months_of_share = 3.0;
  const auto months = age_months(evidence);
  const auto found = std::ranges::find(evidence.findings, Measurand::soc, &Finding::measurand);
  if (!policy.shelf_charge_left || !months || *months < 1 || found == evidence.findings.end()) return;
  const double expected = std::pow(*policy.shelf_charge_left, *months / months_of_share);
  if (found->value + coverage_factor * found->u >= expected) return;
  flags.push_back(
      say("flag_shelf",
          "It came with {charge} of its charge; {months} months on a shelf alone would leave about "
          "{expected}: ask where it stood and what drew on it, and watch it at rest.",
          {said_amount("charge", 100.0 * found->value, 0, "%"), said_count("months", *months),
           said_amount("expected", 100.0 * expected, 0, "%")}));
}

void flag_frost(const Evidence& evidence, const Policy& policy, std::vector<Sentence>& flags) {
  const Finding* charge = newest(evidence, Measurand::soc);
  if (!policy.coldest_storage || charge == nullptr) return;
  const Celsius freezes = freezing_point(gravity_at(charge->value));
  if (freezes <= *policy.coldest_storage) return;
  flags.push_back(say("flag_frost",
                      "With {charge} of its charge its acid begins to freeze at about {freezes}: charge it "
                      "before it stands in the cold.",
                      {said_amount("charge", 100.0 * charge->value, 0, "%"),
                       said_amount("freezes", freezes.degc(), 0, "degC")}));
}

void flag_age(const Evidence& evidence, const Policy& policy, std::vector<Sentence>& flags) {
  const auto months = age_months(evidence);
  if (policy.oldest_months == 0) return;
  if (!months) {
    flags.push_back(say("flag_age_unknown", "Its age is unknown: no date code was read."));
  } else if (*months > policy.oldest_months) {
    flags.push_back(say("flag_old", "Made {months} months ago; this policy calls nothing new after {oldest}.",
                        {said_count("months", *months), said_count("oldest", policy.oldest_months)}));
  }
}

}  // namespace

std::vector<Sentence> flags_of(const Evidence& evidence, const Policy& policy) {
  std::vector<Sentence> flags;
  flag_receipt(evidence, flags);
  flag_label(evidence.nameplate, flags);
  flag_resistance(evidence, flags);
  flag_age(evidence, policy, flags);
  flag_shelf(evidence, policy, flags);
  flag_frost(evidence, policy, flags);
  for (Sentence& flag : charge_flags(evidence, policy)) flags.push_back(std::move(flag));
  for (Sentence& flag : monitor_flags(evidence)) flags.push_back(std::move(flag));
  for (Sign& sign : signs_of(evidence, policy)) flags.push_back(std::move(sign.evidence));
  if (auto life = usual_life_said(evidence, policy)) flags.push_back(*std::move(life));
  return flags;
}

}  // namespace leadwright
