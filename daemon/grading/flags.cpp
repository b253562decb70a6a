// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/flags.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "daemon/battery/cranking_rating.h"
#include "daemon/battery/peukert.h"
#include "daemon/battery/shelf.h"
#include "daemon/battery/uncertainty.h"
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

void flag_receipt(const Evidence& evidence, std::vector<std::string>& flags) {
  const Story& story = evidence.story;
  if (evidence.receipt_seen_before) {
    std::string text("Receipt ");
    flags.push_back(text.append(story.receipt).append(" was shown before, with another battery."));
  }
  if (is_sold_before_made(evidence)) {
    std::string text("Sold on ");
    flags.push_back(text.append(story.sold_on)
                        .append(", before it was made (")
                        .append(evidence.nameplate.manufactured_on)
                        .append("): read the date code and the receipt again."));
  }
  const auto sold = Utc::parse_from_month(story.sold_on);
  if (sold && evidence.judged_at && *sold > *evidence.judged_at) {
    std::string text("The date of sale, ");
    flags.push_back(text.append(story.sold_on).append(", lies in the future."));
  }
}

void flag_label(const Nameplate& plate, std::vector<std::string>& flags) {
  if (plate.c20 && plate.reserve_capacity) {
    const auto law = rate_law(plate.c20->value, plate.reserve_capacity->value);
    if (law && (law->k < exponent_lowest || law->k > exponent_highest)) {
      std::string text("The label's 20-hour and reserve capacity give a rate exponent of ");
      flags.push_back(
          text.append(fixed(law->k, 2)).append(", which no lead battery has: read the label again."));
    }
  }
  if (plate.cca && plate.cca->standard == RatingStandard::en) {
    const Ampere rated = plate.cca->value;
    if (en_step_down(rated) != rated) {
      std::string text("EN knows no rating of ");
      flags.push_back(text.append(fixed(rated.si(), 0))
                          .append(" A (")
                          .append(fixed(en_step_down(rated).si(), 0))
                          .append(" and ")
                          .append(fixed(en_step_up(rated).si(), 0))
                          .append(" A are): another standard, or a misreading."));
    }
  }
}

void flag_resistance(const Evidence& evidence, std::vector<std::string>& flags) {
  const Finding* resistance = newest(evidence, Measurand::resistance);
  const auto& cca = evidence.nameplate.cca;
  if (resistance == nullptr || !cca) return;
  const Volt product = Ohm(resistance->value) * cca->value;
  if (product >= r_times_cca_lowest && product <= r_times_cca_highest) return;
  std::string text("A resistance of ");
  text.append(fixed(1000.0 * resistance->value, 2))
      .append(" mohm does not belong to a label of ")
      .append(fixed(cca->value.si(), 0))
      .append(" A: ");
  text.append(product > r_times_cca_highest
                  ? "more than twice what is usual. Look at clamps and posts first, then at the label."
                  : "less than half of what is usual. Is this the battery of this label?");
  flags.push_back(std::move(text));
}

/// What standing explains, and what is less than that.
void flag_shelf(const Evidence& evidence, const Policy& policy, std::vector<std::string>& flags) {
  constexpr double months_of_share = 3.0;
  const auto months = age_months(evidence);
  const auto found = std::ranges::find(evidence.findings, Measurand::soc, &Finding::measurand);
  if (!policy.shelf_charge_left || !months || *months < 1 || found == evidence.findings.end()) return;
  const double expected = std::pow(*policy.shelf_charge_left, *months / months_of_share);
  if (found->value + coverage_factor * found->u >= expected) return;
  std::string text("It came with ");
  flags.push_back(text.append(fixed(100.0 * found->value, 0))
                      .append(" % of its charge; ")
                      .append(std::to_string(*months))
                      .append(" months on a shelf alone would leave about ")
                      .append(fixed(100.0 * expected, 0))
                      .append(" %: ask where it stood and what drew on it, and watch it at rest."));
}

void flag_frost(const Evidence& evidence, const Policy& policy, std::vector<std::string>& flags) {
  const Finding* charge = newest(evidence, Measurand::soc);
  if (!policy.coldest_storage || charge == nullptr) return;
  const Celsius freezes = freezing_point(gravity_at(charge->value));
  if (freezes <= *policy.coldest_storage) return;
  std::string text("With ");
  flags.push_back(text.append(fixed(100.0 * charge->value, 0))
                      .append(" % of its charge its acid begins to freeze at about ")
                      .append(fixed(freezes.degc(), 0))
                      .append(" degC: charge it before it stands in the cold."));
}

void flag_age(const Evidence& evidence, const Policy& policy, std::vector<std::string>& flags) {
  const auto months = age_months(evidence);
  if (policy.oldest_months == 0) return;
  if (!months) {
    flags.push_back("Its age is unknown: no date code was read.");
  } else if (*months > policy.oldest_months) {
    std::string text("Made ");
    flags.push_back(text.append(std::to_string(*months))
                        .append(" months ago; this policy calls nothing new after ")
                        .append(std::to_string(policy.oldest_months))
                        .append("."));
  }
}

}  // namespace

std::vector<std::string> flags_of(const Evidence& evidence, const Policy& policy) {
  std::vector<std::string> flags;
  flag_receipt(evidence, flags);
  flag_label(evidence.nameplate, flags);
  flag_resistance(evidence, flags);
  flag_age(evidence, policy, flags);
  flag_shelf(evidence, policy, flags);
  flag_frost(evidence, policy, flags);
  for (std::string& flag : monitor_flags(evidence)) flags.push_back(std::move(flag));
  for (Sign& sign : signs_of(evidence, policy)) flags.push_back(std::move(sign.evidence));
  return flags;
}

}  // namespace leadwright
