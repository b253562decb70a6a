// SPDX-License-Identifier: Apache-2.0
// The question whether a new battery may be fitted: what is taken is plausible, and has a whole answer.
#include <cmath>

#include "daemon/battery/fitting.h"
#include "daemon/store/fitting_json.h"
#include "tests/fuzz/target.h"

namespace leadwright {
namespace {

const Utc today = *Utc::parse("2026-03-02");

template <class T>
bool is_finite(const std::optional<T>& amount) {
  return !amount || std::isfinite(amount->si());
}

void check_taken(const FittingRequest& request) {
  const FittingQuestion& question = request.question;
  const bool by_label = question.battery.nameplate.cells > 0;
  promise(by_label || !request.ticket.empty(), "a question is about a battery");
  if (by_label) promise(implausible(question.battery.nameplate).empty(), "an implausible label is refused");
  if (question.reading) {
    promise(std::isfinite(question.reading->volts.si()), "volts are a number");
    promise(is_finite(question.reading->stood), "hours are a number");
  }
  promise(is_finite(question.charger), "amperes are a number");
  const auto& soc = request.after.monitor_soc;
  promise(!soc || (*soc >= 0.0 && *soc <= 1.0), "a share is between none and all");
  if (!by_label) return;
  const FittingRules rules;
  const FittingAnswer answer = fitting_answer(question, rules, today);
  const AfterAnswer after = after_answer(request.after, question.battery.nameplate, answer);
  promise(is_finite(answer.charging) && is_finite(after.half_empty), "a time is a number or missing");
  const std::string said = fitting_json(answer, after, rules);
  promise(said.starts_with('{') && said.ends_with('}'), "an answer is an object");
  promise(said.find("nan") == std::string::npos && said.find("inf") == std::string::npos,
          "an answer has numbers or null");
}

}  // namespace
}  // namespace leadwright

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using leadwright::promise;
  const auto request = leadwright::parse_fitting(leadwright::text_of(data, size), leadwright::today);
  if (request) {
    leadwright::check_taken(*request);
    return 0;
  }
  promise(request.error().code == leadwright::Errc::bad_input, "a refusal is bad input");
  promise(!request.error().what.empty(), "a refusal says what is wrong");
  return 0;
}
