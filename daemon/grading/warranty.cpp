// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/warranty.h"

#include <vector>

#include "daemon/battery/age.h"

namespace leadwright {
namespace {

struct Service {
  int months = 0;
  Sentence counted;  ///< "Sold 2024-03-02"
};

std::optional<Service> service_of(const Evidence& evidence) {
  if (!evidence.judged_at) return std::nullopt;
  const std::string& sold = evidence.story.sold_on;
  if (const auto months = months_since(sold, *evidence.judged_at))
    return Service{*months, say("sold", "Sold {sold}", {said_words("sold", sold)})};
  const std::string& made = evidence.nameplate.manufactured_on;
  if (const auto months = months_since(made, *evidence.judged_at)) {
    return Service{*months, say("counted_from_made", "No date of sale, so counted from its date code {made}",
                                {said_words("made", made)})};
  }
  return std::nullopt;
}

Sentence credit_said(const WarrantyTerms& terms, int months) {
  const PhraseValue free = said_count("free", terms.free_months);
  const PhraseValue total = said_count("total", terms.total_months);
  if (months < terms.free_months)
    return say("credit_free", "within the free period of {free} months: replaced at no charge.", {free});
  if (months >= terms.total_months)
    return say("credit_none", "past the {total} months of warranty: no credit.", {total});
  const int left = terms.total_months - months;
  return say(
      "credit", "credit of {share} of the price, {left} of {total} months being left.",
      {said_amount("share", 100.0 * left / terms.total_months, 1, "%"), said_count("left", left), total});
}

}  // namespace

std::optional<int> age_days(const Evidence& evidence) {
  if (!evidence.judged_at) return std::nullopt;
  return days_since(evidence.nameplate.manufactured_on, *evidence.judged_at);
}

std::optional<int> age_months(const Evidence& evidence) {
  if (!evidence.judged_at) return std::nullopt;
  return months_since(evidence.nameplate.manufactured_on, *evidence.judged_at);
}

bool is_sold_before_made(const Evidence& evidence) {
  const auto sold = date_of(evidence.story.sold_on);
  const auto first_day = Utc::parse_from_month(evidence.nameplate.manufactured_on);
  return sold && first_day && *sold < *first_day;
}

Sentence warranty_sentence(const Evidence& evidence, const WarrantyTerms& terms, char letter) {
  const auto service = service_of(evidence);
  if (!service) {
    return say("service_unknown",
               "Months in service unknown: neither a date of sale nor a date code was given.");
  }
  if (is_sold_before_made(evidence)) {
    return say("service_sold_before_made",
               "Months in service not counted: the date of sale lies before the date code.");
  }
  if (service->months < 0)
    return say("service_in_future", "Months in service not counted: the date lies in the future.");
  Sentence sentence = service->counted;
  const std::vector<PhraseValue> months{said_count("months", service->months)};
  if (service->months == 1) {
    sentence.say("service_month", ": {months} month in service, ", months);
  } else {
    sentence.say("service_months", ": {months} months in service, ", months);
  }
  if (letter == 'U') return sentence.say("earns_later", "what it earns waits for the grade.");
  if (letter != 'D' && letter != 'F')
    return sentence.say("no_credit", "no credit: it is not shown to be worn or faulty.");
  return sentence.add(credit_said(terms, service->months));
}

}  // namespace leadwright
