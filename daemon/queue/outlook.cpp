// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/outlook.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "daemon/battery/half_cca.h"
#include "daemon/store/json.h"
#include "daemon/store/said_json.h"

namespace leadwright {
namespace {

/// The longest chain has nine: intake, charge, rest, resistance, load test, charge, rest, capacity, recharge.
constexpr std::size_t works_max = 12;
/// Of a sound battery that was charged and has rested.
constexpr double soc_of_full = 1.0;
constexpr double passes_by_v = 1.0;

Sentence why_by_kind(std::string_view procedure) {
  namespace name = procedure_name;
  if (procedure == name::intake)
    return say("why_intake",
               "Before anything is put in or taken out: is it safe, whole and what its label says?");
  if (procedure == name::recovery)
    return say("why_recovery", "It came deeply discharged: a soft start, with somebody there.");
  if (procedure == name::rest) return say("why_rest", "A voltage says something only once it is stable.");
  if (procedure == name::resistance)
    return say("why_resistance", "It costs a minute and shows a bad joint before more is drawn.");
  if (procedure == name::half_cca_load)
    return say("why_load", "A failed draw at cranking current decides without emptying the battery.");
  if (procedure == name::reserve_capacity)
    return say("why_capacity", "The minutes against the rating decide the grade.");
  if (procedure == name::until_decided)
    return say("why_until_decided",
               "The minutes decide; it stops as soon as the limit is passed or out of reach.");
  if (procedure == name::recharge) return say("why_recharge", "A test drew on it: it leaves charged.");
  if (procedure == name::standing)
    return say("why_standing", "It came flat and is else sound: does it keep its charge on the shelf?");
  return {};
}

Sentence why_charge(const TicketFile& file, const Policy& policy) {
  const bool for_load = policy.high_rate_draw_required && cranking_load(file.battery.nameplate) &&
                        std::ranges::none_of(file.runs, [](const Run& run) {
                          return run.procedure == procedure_name::half_cca_load;
                        });
  return for_load ? say("why_charge_to_load", "A load test asks for {share} % of charge.",
                        {said_amount("share", 100.0 * policy.soc_min_to_test, 0, "")})
                  : say("why_charge",
                        "A rating is that of a fully charged battery, so the test begins with a full one.");
}

Sentence why_of(const Work& work, const TicketFile& file, const Policy& policy) {
  namespace name = procedure_name;
  if (work.choice) return said_of(*work.choice);
  const std::string_view procedure = work.procedure;
  const bool is_to_load_again = clamps_to_rule_out(file, policy);
  if (procedure == name::half_cca_load && is_to_load_again)
    return say("why_load_again",
               "It did not pass under load: once more with both clamps set anew, before that counts against "
               "it.");
  if (procedure == name::charge && is_to_load_again)
    return say("why_charge_again",
               "It did not pass under load, by little, and was not full: charged, it may hold.");
  if (std::ranges::find(file.ticket.asked_procedures, work.procedure) != file.ticket.asked_procedures.end())
    return say("why_asked_for", "It was asked for when the battery came in.");
  return procedure == name::charge ? why_charge(file, policy) : why_by_kind(procedure);
}

/// As if this had been done, and the battery were sound.
void pretend(TicketFile& file, const Work& work) {
  Run run;
  run.id = RunId{file.runs.empty() ? 1 : static_cast<std::int64_t>(file.runs.back().id) + 1};
  run.ticket = file.ticket.id;
  run.procedure = work.procedure;
  file.ticket.place = word(work.place_kind);
  run.place = file.ticket.place;
  run.outcome = RunOutcome::complete;
  file.runs.push_back(run);
  Utc at;
  for (const Finding& each : file.findings) at = std::max(at, each.at);
  const auto state = [&](Measurand measurand, double value) {
    Finding finding;
    finding.at = at;
    finding.ticket = file.ticket.id;
    finding.run = run.id;
    finding.measurand = measurand;
    finding.value = value;
    file.findings.push_back(std::move(finding));
  };
  if (is_rest(work.procedure)) state(Measurand::soc, soc_of_full);
  if (work.procedure == procedure_name::half_cca_load) state(Measurand::load_margin, passes_by_v);
  if (work.procedure == procedure_name::standing) state(Measurand::rest_slope, 0.0);
  if (takes_all(work.procedure)) file.ticket.needs_recharge = true;
  if (fills(work.procedure)) file.ticket.needs_recharge = false;
}

}  // namespace

std::vector<Ahead> outlook_of(const TicketFile& file, const Policy& policy,
                              const std::function<Second(const Work&)>& expected) {
  std::vector<Ahead> ahead;
  TicketFile imagined = file;
  while (ahead.size() < works_max) {
    auto next = next_work(imagined, policy);
    if (!next) break;
    Sentence why = why_of(*next, imagined, policy);
    const Second takes = expected(*next);
    pretend(imagined, *next);
    ahead.push_back({std::move(*next), takes, std::move(why)});
  }
  return ahead;
}

std::string outlook_json(const std::vector<Ahead>& outlook) {
  std::string text = "[";
  for (const Ahead& each : outlook) {
    if (text.size() > 1) text += ',';
    text += fmt::format(R"({{"procedure":{},"at":"{}","expected_s":{:.0f},"why":{},"said":{}}})",
                        json_string(each.work.procedure),
                        each.work.place_kind == PlaceKind::bay ? "bay" : "charging", each.expected.si(),
                        json_string(each.why.text()), phrases_json(each.why.phrases()));
  }
  return text + "]";
}

}  // namespace leadwright
