// SPDX-License-Identifier: Apache-2.0
// What a certificate states, and that it never states what nobody measured.
#include "daemon/certificate/contents.h"

#include <gmock/gmock.h>

#include <algorithm>

#include "daemon/certificate/slip.h"
#include "daemon/certificate/statement.h"
#include "tests/certificate/example_certificate.h"

namespace leadwright {
namespace {

using testing::Contains;
using testing::HasSubstr;
using testing::Not;

Certificate of(const TicketFile& file) {
  const auto made = certificate_of({file, false, {}, {}});
  EXPECT_TRUE(made) << made.error().line();
  return made.value_or(Certificate{});
}

const CertifiedFinding* finding_named(Certificate&& certificate, const std::string& name) = delete;
const CertifiedFinding* finding_named(const Certificate& certificate, const std::string& name) {
  for (const CertifiedFinding& finding : certificate.findings) {
    if (finding.name == name) return &finding;
  }
  return nullptr;
}

TicketFile stopped_visit() {
  TicketFile file = sound_visit();
  file.findings.resize(4);
  file.findings.push_back(example_of(Measurand::reserve_capacity_ref_at_least, 96.9, 1.5, RunId{4}));
  file.findings.push_back(example_of(Measurand::reserve_capacity_ref_forecast, 131.0, 9.0, RunId{4}));
  return file;
}

TEST(Certificate, states_the_grade_and_the_minutes_with_their_expanded_uncertainty) {
  const Certificate made = of(sound_visit());
  EXPECT_EQ(made.letter, 'B');
  EXPECT_EQ(made.meaning, "sound");
  EXPECT_EQ(made.minutes, "96.4 +- 3.0 min");
  EXPECT_EQ(made.findings.front().conditions,
            "as the test says; initial temperature 22.5 degC; reference 25 degC, 0.009/K");
}

TEST(Certificate, is_refused_for_a_ticket_without_a_grade_with_what_to_do) {
  TicketFile file = sound_visit();
  file.grade.reset();
  const auto made = certificate_of({file, false, {}, {}});
  ASSERT_FALSE(made);
  EXPECT_EQ(made.error().code, Errc::conflict);
  EXPECT_THAT(made.error().mend, HasSubstr("leadwright ticket show T-000001-"));
}

TEST(Certificate, tells_a_discharge_that_was_stopped_from_a_measured_end) {
  const Certificate made = of(stopped_visit());
  EXPECT_EQ(made.minutes, "at least 96 min, stopped there");
  EXPECT_THAT(made.not_measured,
              Contains("The end of the reserve capacity was not measured: the discharge was stopped."));
  const auto* least = finding_named(made, "reserve capacity, at least, at the rating's temperature");
  ASSERT_NE(least, nullptr);
  EXPECT_EQ(least->kind, FindingKind::at_least);
}

TEST(Certificate, never_shows_a_forecast_as_a_measurement) {
  const Certificate made = of(stopped_visit());
  const auto* forecast = finding_named(made, "reserve capacity by forecast, not measured");
  ASSERT_NE(forecast, nullptr);
  EXPECT_EQ(forecast->kind, FindingKind::forecast);
  EXPECT_THAT(made.minutes, Not(HasSubstr("131")));
  EXPECT_THAT(statement(made), HasSubstr("131 +- 18 min (forecast, not measured)"));
}

TEST(Certificate, says_that_an_estimate_is_one) {
  TicketFile file = sound_visit();
  file.findings.push_back(example_of(Measurand::cranking_estimate, 610.0, 40.0, RunId{3}));
  const Certificate made = of(file);
  const auto* estimate = finding_named(made, "cranking current, estimated and not measured");
  ASSERT_NE(estimate, nullptr);
  EXPECT_EQ(estimate->kind, FindingKind::estimated);
}

TEST(Certificate, says_that_an_extrapolated_load_test_was_none_at_half_the_cranking_current) {
  TicketFile file = sound_visit();
  file.findings[2].budget = {{"extrapolation", "15 % of the added drop, from memory", 0.05}};
  const Certificate made = of(file);
  EXPECT_EQ(finding_named(made, "voltage under load")->kind, FindingKind::estimated);
  EXPECT_THAT(made.not_measured, Contains(HasSubstr("a smaller draw was extrapolated")));
  EXPECT_THAT(made.remembered, Contains("Error of the extrapolation, 15 % of the added drop"));
}

TEST(Certificate, of_a_battery_that_was_failed_by_its_load_alone_says_that_no_minutes_were_measured) {
  TicketFile file = sound_visit();
  file.grade->letter = 'D';
  file.runs.pop_back();
  file.findings.resize(4);
  const Certificate made = of(file);
  EXPECT_EQ(made.meaning, "worn");
  EXPECT_EQ(made.minutes, "not measured");
  EXPECT_THAT(made.not_measured, Contains("Reserve capacity was not measured."));
  EXPECT_THAT(made.not_measured, Not(Contains("Not tested at cranking load.")));
}

TEST(Certificate, of_an_undecided_battery_that_nothing_was_measured_of_lists_all_that_is_missing) {
  TicketFile file = sound_visit();
  file.grade->letter = 'U';
  file.findings.clear();
  const Certificate made = of(file);
  EXPECT_EQ(made.meaning, "undecided");
  EXPECT_TRUE(made.findings.empty());
  EXPECT_FALSE(made.plot);
  for (const char* missing :
       {"Reserve capacity was not measured.", "Not tested at cranking load.",
        "Cold cranking current at -18 degC was not measured.", "20-hour capacity was not measured.",
        "Internal resistance was not measured.", "Open-circuit voltage was not measured."})
    EXPECT_THAT(made.not_measured, Contains(missing));
}

TEST(Certificate, of_a_faulty_battery_names_the_fault_with_its_evidence) {
  TicketFile file = sound_visit();
  file.grade->letter = 'F';
  file.faults = {{TicketId{1}, RunId{1}, FaultKind::shorted_cell, "10.6 V at rest", Utc()}};
  const Certificate made = of(file);
  EXPECT_EQ(made.meaning, "faulty");
  EXPECT_THAT(made.faults, Contains("shorted cell: 10.6 V at rest"));
}

TEST(Certificate, leaves_out_what_a_run_found_that_was_not_completed_or_that_came_after_the_grade) {
  TicketFile file = sound_visit();
  file.runs[3].outcome = RunOutcome::void_;
  file.findings[0].at = Utc(file.grade->at.ns() + 1);
  const Certificate made = of(file);
  EXPECT_EQ(made.minutes, "not measured");
  EXPECT_EQ(finding_named(made, "open-circuit voltage"), nullptr);
}

TEST(Certificate, names_the_values_from_memory_that_its_minutes_rest_on) {
  const Certificate made = of(sound_visit());
  EXPECT_THAT(made.remembered, Contains("Growth of the minutes with temperature, 0.90 %/K"));
  EXPECT_THAT(made.remembered, Contains("Run-to-run spread of one battery, 3.0 %"));
}

TEST(Certificate, names_the_formula_from_memory_where_the_rating_was_derived) {
  TicketFile file = sound_visit();
  EXPECT_THAT(of(file).remembered, Not(Contains(HasSubstr("Formula"))));
  file.grade->rules = {{"limit of B", "96 min against about 95 min derived from the rated 60 Ah."}};
  EXPECT_THAT(of(file).remembered, Contains("Formula between 20-hour capacity and minutes"));
}

TEST(Certificate, lists_each_instrument_once_with_its_calibration) {
  TicketFile file = sound_visit();
  file.runs[2].instruments[0].calibration_overdue = true;
  const Certificate made = of(file);
  ASSERT_EQ(made.instruments.size(), 2U);
  EXPECT_EQ(made.instruments[0].calibration, "past its last day of calibration, 2027-03-01");
  EXPECT_EQ(made.instruments[1].calibration, "calibration date not known");
  EXPECT_THAT(made.remembered, Contains("How far a meter drifts past its calibration"));
}

TEST(Certificate, of_a_simulated_bench_says_so) {
  const TicketFile file = sound_visit();
  const auto made = certificate_of({file, true, {}, {}});
  ASSERT_TRUE(made);
  EXPECT_THAT(statement(*made), HasSubstr("simulated: yes, no real battery was measured\n"));
  EXPECT_THAT(statement(of(file)), HasSubstr("simulated: no\n"));
}

TEST(Certificate, shows_where_a_persons_word_stood_in_for_a_meter_while_the_battery_stood_there) {
  const TicketFile file = sound_visit();
  const Utc during = file.runs[2].started_at;
  const auto word_of = [](Utc at, const char* place) {
    return AuditEntry{at, "P-7", "place.acknowledge.same_battery", place, "label compared"};
  };
  CertificateSource source{file, false, {{during, "P-7", "ticket.move", "T-000001-9", "shelf to bay-1"}}, {}};
  source.places_audit = {word_of(during, "bay-1"),
                         word_of(Utc(file.ticket.received_at.ns() - 1), "bay-1"),
                         word_of(during, "bay-2"),
                         {during, "P-7", "place.acknowledge.cautions", "bay-1", ""}};
  const auto made = certificate_of(source);
  ASSERT_TRUE(made);
  ASSERT_EQ(made->overrides.size(), 1U);
  EXPECT_THAT(made->overrides[0], HasSubstr("the same battery, against its voltage (label compared)"));
}

TEST(Certificate, names_nobody_and_says_a_code_for_who_inspected_the_battery) {
  TicketFile file = sound_visit();
  file.runs[3].consent = Consent{"complete discharge", "P-8", "P-9", file.runs[3].started_at};
  const auto made =
      certificate_of({file, false, {{Utc(), "page: P-7, unverified", "ticket.add", "T-000001-9", ""}}, {}});
  ASSERT_TRUE(made);
  const std::string text = statement(*made);
  EXPECT_THAT(text, HasSubstr("visit: inspected by, person P-7 (a code of this bench)"));
  EXPECT_THAT(text, HasSubstr("The owner's consent to a complete discharge was written down"));
  EXPECT_THAT(text, Not(HasSubstr("P-8")));
  EXPECT_THAT(text, Not(HasSubstr("P-9")));
}

TEST(Certificate, does_not_repeat_the_name_that_an_audit_of_before_there_were_codes_says) {
  const auto made =
      certificate_of({sound_visit(), false, {{Utc(), "page: Ana, unverified", "ticket.add", "", ""}}, {}});
  ASSERT_TRUE(made);
  EXPECT_THAT(statement(*made), Not(HasSubstr("inspected by")));
  EXPECT_THAT(statement(*made), Not(HasSubstr("Ana")));
}

TEST(Certificate, of_a_letter_that_two_persons_set_says_so_with_their_reason_beside_the_benchs_own) {
  TicketFile file = sound_visit();
  file.grade->warranty = "16 months in service of 48.";
  GradeOverride given;
  given.letter = 'D';
  given.own_letter = 'B';
  given.own_reason = file.grade->reason;
  given.why = "its posts are loose";
  given.disposition = "Scrap it.";
  given.proposed_by = "Paula";
  given.settled_by = "Sam";
  given.settled_at = file.grade->at;
  given.state = OverrideState::proposed;
  file.overrides = {given};
  EXPECT_THAT(statement(of(file)), HasSubstr("grade: B, sound\nreason: ")) << "a proposal changes nothing";
  file.overrides[0].state = OverrideState::confirmed;
  const Certificate made = of(file);
  EXPECT_EQ(made.letter, 'D');
  EXPECT_EQ(made.meaning, "worn");
  EXPECT_EQ(made.minutes, "96.4 +- 3.0 min");
  EXPECT_EQ(made.warranty, "By the bench's own letter B: 16 months in service of 48.");
  const std::string text = statement(made);
  EXPECT_THAT(text,
              HasSubstr("grade: D, worn\ngrade set by: two persons, 2026-03-19T07:00:00Z\n"
                        "their reason: its posts are loose\nbench's own grade: B, sound\n"
                        "reason: Gives 96 min of reserve capacity against the rated 100 min: sound.\n"));
  EXPECT_THAT(text, HasSubstr("what to do: Scrap it."));
  EXPECT_THAT(text, HasSubstr("rule: 96.4 min conform to the 80 min of B."));
  EXPECT_THAT(text, Not(HasSubstr("Paula")));
  EXPECT_THAT(text, Not(HasSubstr("Sam")));
  EXPECT_THAT(slip(made, example_key()),
              HasSubstr("grade D set by two persons (the bench's own: B), reserve"));
}

TEST(Certificate, plots_the_discharge_that_it_rests_on_with_its_cut_off_and_keeps_each_dip) {
  const TicketFile file = sound_visit();
  CertificateSource source{file, false, {}, {}};
  source.discharge = example_discharge();
  source.discharge[301].volts = Volt(9.0);
  const auto made = certificate_of(source);
  ASSERT_TRUE(made);
  ASSERT_TRUE(made->plot);
  EXPECT_EQ(made->plot->title, "Voltage during reserve capacity, R-000004");
  EXPECT_LE(made->plot->points.size(), plot_points_max);
  EXPECT_EQ(made->plot->cutoff, Volt(10.5));
  EXPECT_THAT(made->plot->end, HasSubstr("ended at"));
  EXPECT_TRUE(
      std::ranges::any_of(made->plot->points, [](const PlotPoint& p) { return p.volts == Volt(9.0); }));
}

TEST(Certificate, says_on_the_plot_that_a_discharge_was_stopped) {
  const TicketFile file = stopped_visit();
  CertificateSource source{file, false, {}, {}};
  source.discharge = example_discharge();
  const auto made = certificate_of(source);
  ASSERT_TRUE(made && made->plot);
  EXPECT_THAT(made->plot->end, HasSubstr("before its end"));
}

TEST(Statement, is_one_line_a_fact_whatever_people_typed) {
  Certificate made = example_certificate();
  made.reason = "two\nlines\x01";
  const std::string text = statement(made);
  EXPECT_TRUE(text.starts_with("Leadwright certificate statement, version 1\nticket: T-000001-"));
  EXPECT_THAT(text, HasSubstr("reason: two lines \n"));
  EXPECT_EQ(text, statement(made));
}

}  // namespace
}  // namespace leadwright
