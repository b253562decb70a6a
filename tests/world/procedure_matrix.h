// SPDX-License-Identifier: Apache-2.0
// What the rows of the procedure matrix share: one shipped procedure on one simulated battery, with a person
// who answers, in a world that counts every message that would energise something. The meters have errors and
// noise within their profiles. Virtual time only.
#pragma once

#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "tests/world/wire_log.h"
#include "tests/world/world_fixture.h"

namespace leadwright {

/// One battery, and what the procedure must make of it.
struct MatrixRow {
  const char* battery;  ///< as tools/benchsim/battery_spec.h reads it
  RunOutcome outcome = RunOutcome::complete;
  const char* reason = "";              ///< part of the end's reason
  std::vector<Measurand> found = {};    ///< exactly these, in the order in which they were stated
  std::optional<FaultKind> fault = {};  ///< the only one
  bool draws = false;                   ///< the load is told to take current
  bool charges = false;                 ///< the charger is told to give it
};

/// What is different from a flooded battery of 60 Ah, 100 min and 600 A, and from a person who finds
/// everything in order.
struct MatrixTicket {
  std::string label = R"("chemistry":"flooded","cells":6,"c20_ah":60,"cca_a":600,"cca_standard":"sae",)"
                      R"("reserve_capacity_min":100,"reserve_capacity_standard":"sae")";
  std::string parameters;        ///< ,"parameters":{...}
  std::string looks_bad = "no";  ///< answer to a question about the battery's looks
  std::string is_ready = "yes";  ///< answer to a question whether all is prepared
  Volt meter_reads_more{0.0};    ///< the hand-held meter than the battery has
};

class ProcedureMatrix : public WorldTest {
 protected:
  /// Runs each row and compares. What a row gave is in the message of a failure, and in the test's report.
  void check(const std::string& procedure, const std::vector<MatrixRow>& rows,
             const MatrixTicket& ticket = {}) {
    for (const MatrixRow& row : rows) {
      SCOPED_TRACE(procedure + " on " + row.battery);
      run(procedure, row.battery, ticket);
      ASSERT_FALSE(results.empty());
      const std::string gave = account();
      SCOPED_TRACE(gave);
      RecordProperty(row.battery, gave);
      EXPECT_EQ(result().run.outcome, row.outcome);
      EXPECT_THAT(result().run.end_reason, testing::HasSubstr(row.reason));
      std::vector<Measurand> found;
      for (const Finding& finding : result().findings) {
        found.push_back(finding.measurand);
        EXPECT_GT(finding.u, 0.0) << key(finding.measurand) << " without an uncertainty";
        EXPECT_FALSE(finding.budget.empty());
      }
      EXPECT_EQ(found, row.found);
      EXPECT_EQ(result().faults.size(), row.fault ? 1U : 0U);
      if (row.fault && !result().faults.empty()) {
        EXPECT_EQ(result().faults.front().kind, *row.fault) << result().faults.front().evidence;
      }
      EXPECT_EQ(load_told_ > 0, row.draws) << load_told_ << " messages energise the load";
      EXPECT_EQ(charger_told_ > 0, row.charges) << charger_told_ << " messages energise the charger";
      EXPECT_TRUE(is_off());
    }
  }

  /// The procedure on this battery in the bay, to its end.
  void run(const std::string& procedure, const std::string& battery, const MatrixTicket& ticket = {}) {
    world.reset();
    results.clear();
    load_told_ = 0;
    charger_told_ = 0;
    WorldOptions options;
    options.ideal = false;
    options.seed = meters_seed;
    options.tap = [this](const std::string& link, bool outward, std::string_view bytes, Instant) {
      if (!outward || !WorldWireLog::energises(bytes)) return;
      if (link == "memory:bay-1.load") ++load_told_;
      if (link == "memory:bay-1.charger") ++charger_told_;
    };
    make_world(std::move(options));
    bring("x", battery);
    const Response added = world->ask(
        "ticket.add", "",
        R"({"battery":{"serial":"S-1",)" + ticket.label + R"(},"procedures":[")" + procedure + R"("]})");
    ASSERT_EQ(added.status, 201) << added.body;
    carry("x", shown(world->bench().ledger().files().rbegin()->first), bay);
    world->ask("place.acknowledge", bay, R"({"of":"cautions"})");
    begin(procedure, ticket);
    if (HasFatalFailure()) return;
    attend(ticket);
    for (int asked = 0; asked < questions_max && !results.empty() && result().ask; ++asked) {
      answer(*result().ask, ticket);
      results.clear();
      begin(procedure, ticket);
      if (HasFatalFailure()) return;
      attend(ticket);
    }
  }

  void begin(const std::string& procedure, const MatrixTicket& ticket) {
    const bool is_deep = procedure == "20-hour capacity" || procedure == "conditioning cycle";
    const std::string consent = is_deep ? R"(,"consented_by":"A. Owner")" : "";
    const Response started = world->ask(
        "place.start", bay, R"({"procedure":")" + procedure + "\"" + consent + ticket.parameters + "}");
    ASSERT_EQ(started.status, 202) << started.body;
  }

  /// An empty one if the run did not start.
  const RunResult& result() const {
    static const RunResult none;
    return results.empty() ? none : results.front();
  }
  const Finding* found(Measurand measurand) const {
    for (const Finding& finding : result().findings)
      if (finding.measurand == measurand) return &finding;
    return nullptr;
  }
  /// NaN if it was not stated: every comparison fails.
  double value(Measurand measurand) const {
    const Finding* const finding = found(measurand);
    return finding == nullptr ? std::nan("") : finding->value;
  }
  /// The end of a step; empty if it did not run.
  std::string end_of(const std::string& step) const {
    for (const Trace::StepSpan& span : result().trace.steps)
      if (span.name == step) return span.end;
    return {};
  }

 private:
  static constexpr std::uint64_t meters_seed = 7;
  static constexpr Second look_around = minutes(4.0);
  static constexpr Second patience = hours(800.0);
  static constexpr int questions_max = 3;  ///< before a run begins: shield, cells

  /// A person who looks every few minutes and answers what the place asks.
  void attend(const MatrixTicket& ticket) {
    Place& place = *world->bench().place(bay);
    const Instant began = world->clock().now();
    while (results.empty() && world->clock().now() - began < patience) {
      const bool long_rest = !place.ask() && place.run() != nullptr && !place.run()->is_energised() &&
                             place.run()->progress().left.value_or(Second(0.0)) > hours(5.0);
      world->clock().run_until([this, &place] { return !results.empty() || place.ask(); },
                               world->clock().now() + (long_rest ? hours(4.0) : look_around));
      if (results.empty() && place.ask()) answer(*place.ask(), ticket);
    }
  }

  void answer(const Ask& ask, const MatrixTicket& ticket) {
    if (ask.of != AskOf::question) {
      world->ask("place.acknowledge", bay, std::string(R"({"of":")") + word(ask.of) + "\"}");
      return;
    }
    std::string words = ask.text.find("Look at the battery") == 0 ? ticket.looks_bad : ticket.is_ready;
    if (ask.text.find("hand-held meter") != std::string::npos) {
      world->sim().terminals(bay)->settle(world->clock().now());
      const Volt reads = world->sim().battery("x")->battery->terminal(Ampere(0.0)) + ticket.meter_reads_more;
      words = std::to_string(reads.si());
    }
    const Response answered =
        world->ask("place.acknowledge", bay, R"({"of":"question","answer":")" + words + "\"}");
    ASSERT_EQ(answered.status, 200) << answered.body;
  }

  std::string account() const {
    std::string text = std::string(word(result().run.outcome)) + ": " + result().run.end_reason;
    for (const Finding& finding : result().findings) {
      text += "; " + std::string(key(finding.measurand)) + " " + std::to_string(finding.value) + " u " +
              std::to_string(finding.u);
    }
    for (const Fault& fault : result().faults)
      text += "; fault " + std::string(word(fault.kind)) + ": " + fault.evidence;
    for (const Trace::StepSpan& span : result().trace.steps) {
      text += "\n    " + span.name + ": " + std::to_string((span.ended_at - span.started_at).si()) + " s, " +
              span.end;
    }
    return text;
  }

  int load_told_ = 0;
  int charger_told_ = 0;
};

}  // namespace leadwright
