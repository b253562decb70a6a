// SPDX-License-Identifier: Apache-2.0
// The voltage collapsed under a draw: the clamps are asked about first, and what happens again after a person
// has reseated them is the battery's.
#include "daemon/battery/half_cca.h"
#include "daemon/grading/grade.h"
#include "daemon/queue/bench.h"

namespace leadwright {

namespace {

/// 12.21 V for six cells (shared domain notes, section 5: F).
constexpr Volt half_charged_cell{2.035};
/// Room for the meter in what counts as the cranking load, as the load test's own limit has it.
constexpr double load_most = 1.05;

/// The question: what was seen, what to do, and what follows if it shows again.
Ask reseat_clamps(Sentence seen, const Sentence& then) {
  seen.say("reseat_clamps", ". Clean both posts, reseat both clamps, then confirm and start again: ")
      .add(then);
  return Ask{AskOf::clamps, seen.text(), seen.phrases()};
}

std::optional<Celsius> last_temperature(const Trace& trace) {
  for (auto sample = trace.samples.rbegin(); sample != trace.samples.rend(); ++sample) {
    if (sample->temperature) return sample->temperature;
  }
  return std::nullopt;
}

/// Why it fails a load test that it can't even begin: no more current than its cranking load, and less
/// than the least voltage for its temperature. Empty if that is not sure.
Sentence failure_under_load(const Collapse& collapse, const Nameplate& plate, const Trace& trace) {
  const auto degrees = last_temperature(trace);
  const auto load = cranking_load(plate);
  if (!load || !degrees || collapse.stage > load->amps * load_most) return {};
  const auto least = half_cca_minimum(*degrees, plate.cells);
  if (!least || collapse.below >= *least) return {};
  Sentence evidence = collapse.what;
  evidence.say("comma_share", ", {share} of ",
               {said_amount("share", 100.0 * (collapse.stage / load->amps), 0, "%")});
  if (load->is_by_capacity) {
    evidence.add(in_own_words(words_of_load(true)));
  } else {
    evidence.say("half_its_cca", "half its CCA");
  }
  return evidence.say("should_hold", ", where it should hold {least}",
                      {said_amount("least", least->si(), 2, "V")});
}

}  // namespace

void Bench::ask_for_clamps(const TicketFile& file, RunResult& result) const {
  const std::string& made = result.run.procedure;
  const auto next = next_work(file, settings_.policy);
  if (!result.clamps_suspected.empty()) {
    Sentence seen = say("ended_at_once", "the {procedure} ended at once: ", {said_words("procedure", made)});
    result.ask = reseat_clamps(seen.add(in_own_words(result.clamps_suspected)),
                               say("then_the_batterys", "if that shows again, it is the battery's"));
  } else if (made == procedure_name::half_cca_load && result.run.outcome == RunOutcome::complete && next &&
             next->procedure == made && clamps_to_rule_out(file, settings_.policy)) {
    const bool fails = stands_by_load(evidence_of(file, clocks_.bench.utc()), settings_.policy);
    result.ask =
        reseat_clamps(fails ? say("fails_as_a_clamp", "it fails under load, and a bad clamp looks the same")
                            : say("doubtful_as_a_clamp",
                                  "it lies too near to the least under load to decide, as in a bad clamp"),
                      say("then_it_counts", "what it shows then is the battery's"));
  }
}

Result<void> Bench::ask_before_charge(const TicketFile& file, Place& place, const Procedure& wanted) const {
  if (!fills(wanted.name) || file.clamps_reseated) return {};
  const bool is_flat = file.too_flat && file.has_collapsed && !charged_after_reseating(file);
  if (!is_flat && !charge_in_doubt(file, settings_.policy)) return {};
  const Sentence seen =
      is_flat ? say("flat_or_broken",
                    "its voltage collapsed, which an empty battery does and a broken joint as well")
              : say("charged_in_vain", "a charge has ended and it rests far below full");
  const std::string gas = gas_off(file).warning(clocks_.bench).text();
  if (!gas.empty()) {
    return fail(Errc::conflict,
                seen.text() + ": both clamps are set anew before it is charged again, and " + gas,
                place.name(), "let it rest until then");
  }
  Sentence doubt = seen;
  doubt.say("charge_ends_early", "; through a bad clamp a charge ends early");
  const Ask ask =
      reseat_clamps(std::move(doubt), say("then_not_taken", "what it then does not take is its own"));
  place.set_ask(ask);
  return fail(Errc::conflict, "both clamps are to be set anew before this charge", place.name(), ask.text);
}

void Bench::judge_collapse(TicketFile& file, RunResult& result) const {
  if (!result.collapse) return;
  const Collapse& collapse = *result.collapse;
  const bool is_light = collapse.stage <= light_draw_max;
  if (!file.clamps_reseated) {
    result.ask = reseat_clamps(
        collapse.what, is_light ? say("then_a_joint", "if it collapses then as well, a joint inside is open")
                                : say("then_it_fails", "if it collapses then as well, it fails under load"));
    return;
  }
  // An empty battery collapses as well: a charge tells them apart, which an open joint does not take.
  const Volt rests = result.last_volts.value_or(Volt(0.0));
  file.too_flat = rests / file.battery.nameplate.cells < half_charged_cell;
  if (file.too_flat && !charged_after_reseating(file)) return;
  Fault fault;
  fault.ticket = result.run.ticket;
  fault.run = result.run.id;
  fault.kind = is_light ? FaultKind::open_circuit : FaultKind::fails_under_load;
  Sentence evidence =
      is_light ? collapse.what : failure_under_load(collapse, file.battery.nameplate, result.trace);
  if (evidence.empty()) return;
  evidence.say("did_so_before", ", and did so before a person had reseated the clamps");
  fault.evidence = evidence.text();
  fault.said = evidence.phrases();
  fault.at = result.run.ended_at.value_or(clocks_.bench.utc());
  result.faults.push_back(std::move(fault));
}

}  // namespace leadwright
