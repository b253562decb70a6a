// SPDX-License-Identifier: Apache-2.0
// What the client does at the counter beside tickets: many cores at once, a new battery, the queue, and
// another letter than the bench's own.
#include <gmock/gmock.h>

#include "tools/client/batch_rules.h"
#include "tools/client/counter_commands.h"
#include "tools/client/fitting_commands.h"
#include "tools/client/show.h"
#include "tools/client/show_override.h"
#include "tools/client/show_person.h"
#include "tools/client/ticket_commands.h"

namespace leadwright {
namespace {

using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;

TEST(Batch, sets_aside_what_is_unsafe_too_flat_or_no_lead_and_a_serial_that_comes_twice) {
  const std::vector<Core> cores{
      {"C-1", 12.4, ""}, {"C-2", 12.4, "leaking"},           {"C-3", 10.49, ""}, {"C-4", 13.39, ""},
      {"C-1", 12.4, ""}, {"C-5", 10.5, "terminals_damaged"}, {"C-6", 13.37, ""}};
  std::vector<std::string> outcomes;
  for (std::size_t i = 0; i < cores.size(); ++i) outcomes.push_back(outcome_of(cores, i, {}));
  EXPECT_THAT(outcomes, ElementsAre("ticket", "unsafe", "too_low", "not_lead", "twice", "ticket", "ticket"));
}

TEST(Batch, reads_a_heading_and_a_line_for_each_core) {
  const auto cores = cores_of("serial,volts,seen\r\n\"C,1\", 12.4 V,\r\n\nC-2,11.9,swollen\n");
  ASSERT_TRUE(cores) << cores.error().line();
  ASSERT_EQ(cores->size(), 2U);
  EXPECT_EQ(cores->at(0).serial, "C,1");
  EXPECT_EQ(cores->at(0).volts_v, 12.4);
  EXPECT_EQ(cores->at(1).seen, "swollen");
  EXPECT_EQ(cores_of("serial,volts\nC-1,6.3\n")->at(0).seen, "");
}

TEST(Batch, names_the_line_that_it_can_not_read) {
  for (const char* csv : {"serial,volts\nC-1,12,4\n", "serial,volts\n,12.4\n", "serial,volts\nC-1,twelve\n",
                          "serial,volts,seen\nC-1,12.4,dented\n"}) {
    const auto cores = cores_of(csv);
    ASSERT_FALSE(cores) << csv;
    EXPECT_EQ(cores.error().where, "line 2") << csv;
  }
  EXPECT_EQ(cores_of("volts,serial\n").error().where, "line 1");
}

TEST(DropOff, takes_from_the_part_what_is_not_typed) {
  TicketAddOptions options;
  options.serial = "EX-1";
  options.cca = "600 A";
  EXPECT_EQ(drop_off_body(options, R"({"chemistry":"agm","cells":6,"cca_a":760})").value(),
            R"({"battery":{"serial":"EX-1","chemistry":"agm","cells":6,"cca_a":6E2},"story":{},)"
            R"("inspection":{}})");
}

TEST(DropOffBody, has_a_look_with_a_hydrometer_cell_by_cell) {
  TicketAddOptions options;
  options.gravity = "1.265, 1.26,-";
  options.acid_degc = 21.5;
  EXPECT_THAT(drop_off_body(options, "{}").value(),
              testing::HasSubstr(R"("acid":{"gravity":[1.265E0,1.26E0,null],"acid_degc":2.15E1})"));
  options.gravity = "1.265,wet";
  EXPECT_THAT(drop_off_body(options, "{}").error().line(),
              testing::HasSubstr("--gravity: \"wet\" is no specific gravity"));
  options.gravity = "1.265";
  options.acid_degc.reset();
  EXPECT_THAT(drop_off_body(options, "{}").error().line(), testing::HasSubstr("give both, or none"));
}

TEST(Fitting, becomes_the_body_that_the_api_takes) {
  FittingOptions options;
  options.plus_at = "right";
  options.vehicle.chemistry = "agm";
  options.vehicle.c20 = "70 Ah";
  options.ocv = "12.5 V";
  options.stood = "30 h";
  options.charger = "10 A";
  options.drain = "500 mA";
  options.monitor_charge = "75 %";
  EXPECT_EQ(fitting_body(options, R"({"chemistry":"agm","cells":6})").value(),
            R"({"plus_at":"right","battery":{"chemistry":"agm","cells":6},)"
            R"("vehicle":{"chemistry":"agm","c20_ah":7E1},"reading":{"ocv_v":1.25E1,"stood_h":3E1},)"
            R"("after":{"monitor_soc_1":7.5E-1,"drain_a":5E-1},"charger_a":1E1})");
}

TEST(Fitting, names_the_option_whose_amount_it_can_not_read) {
  FittingOptions options;
  options.vehicle.cca = "760 V";
  EXPECT_EQ(fitting_body(options).error().where, "--vehicle-cca");
  options.vehicle.cca.clear();
  options.drain = "0.3 A";
  EXPECT_EQ(fitting_body(options).error().where, "--drain");
}

TEST(Fitting, is_told_in_sentences_with_what_was_not_checked) {
  const std::string text =
      show_fitting(R"({"fit":[{"of":"voltage","outcome":"fits"},{"of":"size_code","outcome":"not_checked"}],)"
                   R"("age":{"made":"2025-06","months":7,"oldest_months":6,"is_old":true},)"
                   R"("charge":{"soc_1":0.62,"u_1":0.06,"soc_min_1":0.8,"needed_ah":26.6,"needed_u_ah":4.4,)"
                   R"("minutes":160},)"
                   R"("verdict":"charge_first",)"
                   R"("after":{"monitor":"took_it","soc_apart_1":null,"running":null,"drain":"high",)"
                   R"("half_empty_days":4.2}})");
  for (const char* part :
       {"Needs a charge before fitting.", "62 +- 12 % charged", "26.6 +- 8.8 Ah", "about 160 min",
        "none below 80 %", "7 months old", "calls nothing new after 6", "size code", "not checked",
        "it took the change", "drain at rest is high", "4.2 days", "vehicle maker's procedure"}) {
    EXPECT_THAT(text, HasSubstr(part));
  }
  EXPECT_EQ(show_fitting("no json"), "no json\n");
}

constexpr const char* whole_bench =
    R"({"bench":"back room","at":"2026-03-02T09:15:00Z","simulated":true,"scale":240,)"
    R"("alarms":[{"place":"bay-1","text":"over-temperature"}],)"
    R"("places":[{"name":"bay-1","kind":"bay","ticket":"T-000001-9","doing":"tripped","needs":"a person",)"
    R"("left_s":5040,"volts_v":12.6,"amps_a":null,"case_degc":null}],)"
    R"("queue":[{"ticket":"T-000001-9","label":"agm 60 Ah","state":"graded","place":"bay-1","grade":"B",)"
    R"("own_grade":"U","proposed_grade":"C","reason":"Set to B.","reserve_capacity_min":96.4,)"
    R"("reserve_capacity_u_min":1.5,"rated_min":100,"needs":null},)"
    R"({"ticket":"T-000002-7","label":"efb","state":"waiting","place":"shelf","grade":null,)"
    R"("own_grade":null,"proposed_grade":null,"reason":null,"reserve_capacity_min":null,)"
    R"("reserve_capacity_u_min":null,"rated_min":null,"needs":"carry it to a bay"}]})";

TEST(BenchShown, has_alarms_places_and_the_queue_with_the_letter_that_stands_and_the_benchs_own) {
  const std::string text = show_bench(whole_bench, "");
  for (const char* part :
       {"ALARM: bay-1: over-temperature", "SIMULATED, time x 240", "1 h 24 min", "12.600", "B (bench: U)",
        "96.4 +- 3.0 of 100", "the letter C waits for a second person", "Needs you: carry it to a bay"}) {
    EXPECT_THAT(text, HasSubstr(part));
  }
}

TEST(BenchShown, has_only_the_tickets_that_are_searched_for) {
  EXPECT_THAT(show_bench(whole_bench, "EFB"), AllOf(HasSubstr("T-000002-7"), Not(HasSubstr("96.4"))));
  EXPECT_THAT(show_bench(whole_bench, "gel"), HasSubstr("no ticket"));
}

TEST(OverrideShown, says_what_stands_who_said_so_and_what_still_has_to_be_done) {
  const std::string proposed =
      R"("ticket":"T-000001-9","letter":"C","own_letter":"D","why":"for a pump","proposed_by":"P-1",)"
      R"("proposed_at":"2026-03-02T09:15:00Z")";
  EXPECT_THAT(show_override("{" + proposed + R"(,"state":"proposed"})"),
              HasSubstr("ticket override-confirm T-000001-9 --letter C"));
  EXPECT_EQ(show_override("{" + proposed + R"(,"state":"confirmed"})"),
            "T-000001-9 stands as C; the bench's own letter is D\n");
  const std::string page = R"({"ticket":{},"grade":{"letter":"D"},"letter":"C","overrides":[{)" + proposed +
                           R"(,"state":"confirmed","settled_by":"P-2","settled_at":"x"}],)"
                           R"("people":[{"person":"P-1","name":"ana"},{"person":"P-2","name":null}]})";
  EXPECT_THAT(show_ticket(page),
              AllOf(HasSubstr("LETTER THAT STANDS C, set by two persons"),
                    HasSubstr("D to C, proposed by ana at 2026-03-02T09:15:00Z: for a pump"),
                    HasSubstr("confirmed by a person whose name was erased (P-2)")));
  EXPECT_EQ(overrides_section(R"({"overrides":[]})"), "");
}

TEST(PeopleShown, are_codes_with_their_names_as_long_as_they_have_one) {
  EXPECT_EQ(show_people(R"([{"person":"P-1","name":"ana"},{"person":"P-12","name":null}])"),
            "CODE  NAME\nP-1   ana\nP-12  (erased)\n");
  EXPECT_EQ(show_people("[]"), "nobody yet\n");
  EXPECT_THAT(show_erased(R"({"person":"P-7","name":null})"), HasSubstr("the name of P-7 is erased"));
  EXPECT_EQ(show_erased("x"), "x\n");
}

}  // namespace
}  // namespace leadwright
