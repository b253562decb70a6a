// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/warranty.h"

#include "daemon/battery/age.h"
#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

struct Service {
  int months = 0;
  std::string counted;  ///< "sold 2024-03-02"
};

std::optional<Service> service_of(const Evidence& evidence) {
  if (!evidence.judged_at) return std::nullopt;
  const std::string& sold = evidence.story.sold_on;
  if (const auto months = months_since(sold, *evidence.judged_at)) return Service{*months, "sold " + sold};
  const std::string& made = evidence.nameplate.manufactured_on;
  if (const auto months = months_since(made, *evidence.judged_at))
    return Service{*months, "no date of sale, so counted from its date code " + made};
  return std::nullopt;
}

std::string credit_text(const WarrantyTerms& terms, int months) {
  if (months < terms.free_months) {
    std::string text("within the free period of ");
    return text.append(std::to_string(terms.free_months)).append(" months: replaced at no charge");
  }
  if (months >= terms.total_months) {
    std::string text("past the ");
    return text.append(std::to_string(terms.total_months)).append(" months of warranty: no credit");
  }
  const double left = 100.0 * (terms.total_months - months) / terms.total_months;
  std::string text("credit of ");
  return text.append(fixed(left, 1))
      .append(" % of the price, ")
      .append(std::to_string(terms.total_months - months))
      .append(" of ")
      .append(std::to_string(terms.total_months))
      .append(" months being left");
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

std::string warranty_sentence(const Evidence& evidence, const WarrantyTerms& terms, char letter) {
  const auto service = service_of(evidence);
  if (!service) return "Months in service unknown: neither a date of sale nor a date code was given.";
  if (is_sold_before_made(evidence))
    return "Months in service not counted: the date of sale lies before the date code.";
  if (service->months < 0) return "Months in service not counted: the date lies in the future.";
  std::string text(1, static_cast<char>(service->counted.front() - 'a' + 'A'));
  text.append(service->counted, 1)
      .append(": ")
      .append(std::to_string(service->months))
      .append(service->months == 1 ? " month in service, " : " months in service, ");
  if (letter == 'U') return text.append("what it earns waits for the grade.");
  if (letter != 'D' && letter != 'F') return text.append("no credit: it is not shown to be worn or faulty.");
  return text.append(credit_text(terms, service->months)).append(".");
}

}  // namespace leadwright
