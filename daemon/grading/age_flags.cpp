// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/age_flags.h"

#include <vector>

#include "daemon/battery/age.h"
#include "daemon/grading/warranty.h"

namespace leadwright {

std::optional<Sentence> usual_life_said(const Evidence& evidence, const Policy& policy) {
  const UsualBattery& usual = policy.usual;
  if (usual.life_to_months == 0 || !evidence.judged_at) return std::nullopt;
  auto months = age_months(evidence);
  const bool by_date_code = months.has_value();
  if (!months) months = months_since(evidence.story.sold_on, *evidence.judged_at);
  if (!months || *months < 0) return std::nullopt;
  const PhraseValue age = said_count("months", *months);
  Sentence told = by_date_code
                      ? say("life_made", "It was made {months} months ago", {age})
                      : say("life_sold", "It was sold {months} months ago, and its age is unknown", {age});
  const std::vector<PhraseValue> years{said_count("from", usual.life_from_months),
                                       said_count("to", usual.life_to_months)};
  if (*months < usual.life_from_months) {
    return told.say("life_before",
                    ", before the {from} to {to} months after which starter batteries usually end (common "
                    "practice, no source): age alone explains no failure.",
                    years);
  }
  if (*months <= usual.life_to_months) {
    return told.say("life_within",
                    ", within the {from} to {to} months after which starter batteries usually end (common "
                    "practice, no source). Its letter rests on what was measured alone.",
                    years);
  }
  return told.say(
      "life_past",
      ", past the {from} to {to} months after which starter batteries usually end (common practice, "
      "no source). Its letter rests on what was measured alone.",
      years);
}

}  // namespace leadwright
