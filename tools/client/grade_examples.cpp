// SPDX-License-Identifier: Apache-2.0
#include "tools/client/grade_examples.h"

#include <cmath>
#include <utility>
#include <vector>

#include "daemon/battery/findings.h"
#include "daemon/grading/explain.h"
#include "daemon/grading/grade.h"

namespace leadwright {
namespace {

constexpr const char* judged_on = "2026-03-20";
constexpr double seconds_a_run = 6.0 * 3600.0;

/// A trace of one or two steps, as instruments would have made it.
class InventedTrace {
 public:
  InventedTrace& step(const char* name) {
    Trace::StepSpan span;
    span.step = static_cast<int>(trace_.steps.size());
    span.name = name;
    span.first = span.last = trace_.samples.size();
    span.started_at = span.ended_at = now_;
    span.end = "time";
    trace_.steps.push_back(std::move(span));
    return *this;
  }
  InventedTrace& sample(Volt volts, Ampere amps, Celsius battery, Second period) {
    Trace::StepSpan& span = trace_.steps.back();
    trace_.samples.push_back(Sample{now_, span.step, volts, amps, battery});
    span.last = trace_.samples.size();
    now_ += period;
    span.ended_at = now_;
    return *this;
  }
  const Trace& trace() const { return trace_; }

 private:
  Trace trace_;
  Second now_{0.0};
};

/// One visit: what was told, and the runs with what each of them found.
class Visit {
 public:
  explicit Visit(Nameplate plate, Story story) {
    evidence_.nameplate = std::move(plate);
    evidence_.story = std::move(story);
    evidence_.judged_at = Utc::parse(judged_on);
  }
  Evidence& evidence() { return evidence_; }

  Visit& rested_at(Volt volts, Celsius battery) {
    InventedTrace rest;
    rest.step("settle");
    for (int i = 0; i < 240; ++i) rest.sample(volts, Ampere(0.0), battery, Second(10.0));
    return add("stability rest", rest.trace(), {{"ocv", {"settle"}}, {"soc", {"settle"}}});
  }
  /// A day on the shelf, then two minutes at the same meter.
  Visit& stood(Volt volts, Celsius battery) {
    InventedTrace look;
    look.step("measure");
    for (int i = 0; i < 60; ++i) look.sample(volts, Ampere(0.0), battery, Second(1.0));
    at_ = at_ + hours(24.0);
    add("voltage after standing", look.trace(), {{"intake", {"measure"}}});
    evidence_.runs.back().instruments = {{"charging-1.charger", "invented charger 1", "", false}};
    return *this;
  }
  Visit& charged() { return add("standard charge", {}, {}); }
  /// Minutes at 25 A to 10.5 V: a plain, then a knee.
  Visit& emptied_in(double at_25_a_min, Celsius battery) {
    InventedTrace draw;
    draw.step("draw");
    constexpr double period_s = 10.0;
    for (double t = 0.0; t < at_25_a_min * 60.0 + 2.0 * period_s; t += period_s) {
      const double x = t / (at_25_a_min * 60.0);
      draw.sample(Volt(12.35 - 0.9 * x - 0.95 * std::pow(x, 12.0)), Ampere(25.0), battery, Second(period_s));
    }
    return add("reserve capacity", draw.trace(), {{"reserve_capacity", {"draw"}}});
  }
  /// Half the CCA for 16 s from this resting voltage, with this voltage at 15 s.
  Visit& loaded_to(Volt rest, Volt at_15_s, Celsius battery) {
    InventedTrace load;
    load.step("rest");
    for (int i = 0; i < 30; ++i) load.sample(rest, Ampere(0.0), battery, Second(2.0));
    load.step("load");
    const Ampere half = evidence_.nameplate.cca->value * 0.5;
    for (int i = 0; i <= 160; ++i)
      load.sample(at_15_s + Volt(0.01) * (15.0 - 0.1 * i), half, battery, Second(0.1));
    return add("half-CCA load test", load.trace(), {{"half_cca_load", {"rest", "load"}}});
  }

  std::string page(const char* title, const Policy& policy) const {
    std::string text("\n## ");
    return text.append(title).append("\n").append(explained(evidence_, grade(evidence_, policy)));
  }

 private:
  struct Asked {
    const char* calculation;
    std::vector<std::string> of;
  };
  Visit& add(const char* procedure, const Trace& trace, const std::vector<Asked>& asked) {
    Run run;
    run.id = RunId{static_cast<std::int64_t>(evidence_.runs.size()) + 1};
    run.procedure = procedure;
    run.outcome = RunOutcome::complete;
    at_ = at_ + Second(seconds_a_run);
    run.ended_at = at_;
    for (const Asked& one : asked) {
      FindingRequest request;
      request.calculation = one.calculation;
      request.trace = &trace;
      request.of = one.of;
      request.nameplate = evidence_.nameplate;
      const auto found = state(request);
      if (!found) continue;
      for (Finding finding : found->findings) {
        finding.run = run.id;
        finding.at = at_;
        evidence_.findings.push_back(std::move(finding));
      }
    }
    evidence_.runs.push_back(std::move(run));
    return *this;
  }

  Evidence evidence_;
  Utc at_ = Utc::parse("2026-03-13").value_or(Utc());
};

Nameplate label(Chemistry chemistry, const char* made) {
  Nameplate plate;
  plate.chemistry = chemistry;
  plate.cells = 6;
  plate.cca = Rating<Ampere>{Ampere(640.0), RatingStandard::en};
  plate.reserve_capacity = Rating<Second>{minutes(100.0), RatingStandard::en};
  plate.c20 = Rating<Coulomb>{ampere_hours(60.0), RatingStandard::en};
  plate.manufactured_on = made;
  return plate;
}

constexpr Celsius shop{22.5};

std::string only_discharged(const Policy& policy) {
  Visit visit(label(Chemistry::flooded, "2024-09"),
              {"does not start since the weekend", "2024-11-04", "low battery, twice", "70231"});
  visit.rested_at(Volt(11.95), shop).charged().rested_at(Volt(12.68), shop);
  visit.loaded_to(Volt(12.68), Volt(10.35), shop).charged().rested_at(Volt(12.68), shop);
  visit.emptied_in(96.0, shop).charged().stood(Volt(12.69), shop).stood(Volt(12.688), shop);
  return visit.page("1. Only discharged: a claim that is none", policy);
}

std::string worn_out(const Policy& policy) {
  Visit visit(label(Chemistry::flooded, "2023-05"), {"cranks slowly in the cold", "2023-07-01", "", "55102"});
  visit.evidence().receipt_seen_before = true;
  visit.charged().rested_at(Volt(12.60), Celsius(19.0));
  visit.loaded_to(Volt(12.60), Volt(9.75), Celsius(19.0)).charged().rested_at(Volt(12.60), Celsius(19.0));
  visit.emptied_in(44.0, Celsius(19.0));
  return visit.page("2. Worn: a claim that is honoured in part, and a receipt to look at", policy);
}

std::string stood_empty(const Policy& policy) {
  Visit visit(label(Chemistry::efb, "2025-02"), {"stood all winter", "2025-04-12", "", "81377"});
  visit.rested_at(Volt(10.6), shop).charged().rested_at(Volt(12.70), shop);
  visit.loaded_to(Volt(12.70), Volt(10.10), shop).charged().rested_at(Volt(12.70), shop);
  visit.emptied_in(48.0, shop);
  return visit.page("3. Stood empty: not failed before one conditioning cycle", policy);
}

std::string without_minutes(const Policy& policy) {
  Nameplate plate = label(Chemistry::flooded, "");
  plate.reserve_capacity.reset();
  Visit visit(std::move(plate), {"from the pile", "", "", ""});
  visit.charged().rested_at(Volt(12.62), shop);
  visit.loaded_to(Volt(12.62), Volt(10.0), shop).charged().rested_at(Volt(12.62), shop);
  visit.emptied_in(60.0, shop);
  return visit.page("4. A core without minutes on its label: undecided, and what would decide", policy);
}

std::string fresh_enough(const Policy& policy) {
  Nameplate plate = label(Chemistry::agm, "2025-07");
  plate.cca->value = Ampere(615.0);
  Visit visit(std::move(plate), {"to be fitted today", "", "", ""});
  visit.rested_at(Volt(12.78), shop).loaded_to(Volt(12.78), Volt(10.9), shop);
  return visit.page("5. New on the shelf: confirmed by a load test, with two things to look at", policy);
}

constexpr const char* foreword = R"(<!-- SPDX-License-Identifier: Apache-2.0 -->
# Five gradings, explained

Invented tickets under the three shipped policies, printed by `leadwright grade examples`; a test keeps this
page equal to what the program says. The samples are invented, everything after them is calculated as for a
real ticket: findings with their budgets, rules, letter, disposition, warranty. Intervals are expanded, k = 2.
`leadwright grade explain TICKET` prints the same for a ticket of your bench. Settings and their marks are in
config/estimator.toml: the battery's repeatability of 3 % and the 0.9 %/K of the temperature correction are
from memory (M), and weigh most.
)";

}  // namespace

Result<std::string> gradings_page(const std::string& policies_folder) {
  std::string page = foreword;
  using Example = std::string (*)(const Policy&);
  const std::pair<const char*, Example> examples[] = {{"store_claim", only_discharged},
                                                      {"store_claim", worn_out},
                                                      {"store_claim", stood_empty},
                                                      {"rebuilder_resale", without_minutes},
                                                      {"new_battery", fresh_enough}};
  for (const auto& [name, example] : examples) {
    const auto policy = load_policy(policies_folder + "/" + name + ".toml");
    if (!policy) return tl::unexpected<Error>(policy.error().front());
    page.append(example(*policy));
  }
  return page;
}

}  // namespace leadwright
