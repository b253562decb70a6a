// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/warranty.h"

#include <chrono>

#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

using std::chrono::sys_days;
using std::chrono::year_month_day;

constexpr double seconds_of_a_day = 86400.0;

sys_days day_of(Utc at) {
  return std::chrono::floor<std::chrono::days>(
      std::chrono::sys_time<std::chrono::nanoseconds>(std::chrono::nanoseconds(at.ns())));
}

std::optional<Utc> made_on(const Evidence& evidence) {
  return date_of(evidence.nameplate.manufactured_on);
}

/// Whole months in service; a date without a day that lies in this very month counts as none.
int months_of_service(std::string_view text, Utc from, Utc to) {
  const bool open_day = text.size() == 7 && from > to && from - to < Second(31.0 * seconds_of_a_day);
  return open_day ? 0 : months_between(from, to);
}

struct Service {
  int months = 0;
  std::string counted;  ///< "sold 2024-03-02"
};

std::optional<Service> service_of(const Evidence& evidence) {
  if (!evidence.judged_at) return std::nullopt;
  if (const auto sold = date_of(evidence.story.sold_on)) {
    return Service{months_of_service(evidence.story.sold_on, *sold, *evidence.judged_at),
                   "sold " + evidence.story.sold_on};
  }
  if (const auto made = made_on(evidence)) {
    return Service{months_of_service(evidence.nameplate.manufactured_on, *made, *evidence.judged_at),
                   "no date of sale, so counted from its date code " + evidence.nameplate.manufactured_on};
  }
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

std::optional<Utc> date_of(std::string_view text) {
  if (text.size() == 10) return Utc::parse(text);
  if (text.size() != 7) return std::nullopt;
  const auto first = Utc::parse_from_month(text);
  if (!first) return std::nullopt;
  const year_month_day day(day_of(*first));
  const sys_days last(day.year() / day.month() / std::chrono::last);
  return *first + Second(seconds_of_a_day * static_cast<double>((last - day_of(*first)).count()));
}

int months_between(Utc from, Utc to) {
  const year_month_day first(day_of(from));
  const year_month_day second(day_of(to));
  const auto months = (second.year() / second.month() - first.year() / first.month()).count();
  return static_cast<int>(months) - (second.day() < first.day() ? 1 : 0);
}

std::optional<int> age_days(const Evidence& evidence) {
  const auto made = made_on(evidence);
  if (!made || !evidence.judged_at) return std::nullopt;
  return static_cast<int>((day_of(*evidence.judged_at) - day_of(*made)).count());
}

std::optional<int> age_months(const Evidence& evidence) {
  const auto made = made_on(evidence);
  if (!made || !evidence.judged_at) return std::nullopt;
  return months_between(*made, *evidence.judged_at);
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
