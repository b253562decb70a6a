// SPDX-License-Identifier: Apache-2.0
// A look with a hydrometer in the whole daemon: what it finds, when it is compared with a voltage, what the
// grade says of it.
#include <cmath>

#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::Contains;
using testing::HasSubstr;
using testing::IsEmpty;

class AcidTest : public WorldTest {
 protected:
  void SetUp() override { make_world(); }
  /// A flooded battery whose acid was read so at the drop-off; only this procedure is wanted.
  void take_in(const std::string& gravity, const std::string& procedure,
               const std::string& spec = "cell:sound,charged=1") {
    bring("x", spec);
    const Response added = world->ask(
        "ticket.add", "",
        R"({"battery":{"serial":"S-1","chemistry":"flooded","cells":6,"c20_ah":60},"inspection":{"acid":{)"
        R"("gravity":)" +
            gravity + R"(,"acid_degc":25}},"procedures":[)" + procedure + "]}");
    ASSERT_EQ(added.status, 201) << added.body;
    ticket = shown(world->bench().ledger().files().rbegin()->first);
  }
  void rest_at_the_bay() {
    carry("x", ticket, bay);
    work(bay);
  }
  std::string ticket;
};

TEST_F(AcidTest, is_found_at_the_drop_off_and_outlives_the_daemon) {
  take_in("[1.262,1.260,1.190,1.260,null,1.261]", R"("stability rest")");
  const Finding* below = file(ticket).newest(Measurand::acid_cell_below);
  ASSERT_NE(below, nullptr);
  EXPECT_EQ(below->run, RunId{});
  EXPECT_NEAR(below->value, 0.0705, 1e-9);
  const std::size_t before = file(ticket).findings.size();
  world->kill_and_restart();
  EXPECT_EQ(file(ticket).findings.size(), before);
  ASSERT_TRUE(file(ticket).ticket.inspection.acid);
  EXPECT_EQ(file(ticket).ticket.inspection.acid->gravity[4], std::nullopt);
  EXPECT_THAT(world->ask("ticket.show", ticket).body,
              HasSubstr(R"("acid":{"gravity":[1.262,1.26,1.19,1.26,null,1.261],"acid_degc":25,"at":")"));
}

TEST_F(AcidTest, that_is_weaker_than_the_rested_voltage_tells_of_layers_beside_the_grade) {
  take_in("[1.2,1.2,1.2,1.2,1.2,1.2]", R"("stability rest")");
  rest_at_the_bay();
  const Finding* apart = file(ticket).newest(Measurand::ocv_above_acid);
  ASSERT_NE(apart, nullptr);
  EXPECT_GT(apart->value, 0.2);
  EXPECT_EQ(apart->run, file(ticket).runs.back().id);
  ASSERT_TRUE(file(ticket).grade);
  EXPECT_THAT(file(ticket).grade->flags, Contains(HasSubstr("its acid lies in layers")));
}

TEST_F(AcidTest, that_fits_the_rested_voltage_is_found_to_and_nothing_is_said) {
  take_in("[1.27,1.27,1.27,1.27,1.27,1.27]", R"("stability rest")");
  rest_at_the_bay();
  const Finding* apart = file(ticket).newest(Measurand::ocv_above_acid);
  ASSERT_NE(apart, nullptr);
  EXPECT_LT(std::abs(apart->value), 2.0 * apart->u + 0.03);
  ASSERT_TRUE(file(ticket).grade);
  EXPECT_THAT(file(ticket).grade->flags, testing::Not(Contains(HasSubstr("acid"))));
}

TEST_F(AcidTest, of_before_a_charge_is_not_compared_with_a_voltage_of_after_it) {
  take_in("[1.2,1.2,1.2,1.2,1.2,1.2]", R"("standard charge","stability rest")", "cell:sound,charged=0.6");
  rest_at_the_bay();
  if (!file(ticket).grade) work(bay);
  ASSERT_NE(file(ticket).newest(Measurand::ocv), nullptr);
  EXPECT_EQ(file(ticket).newest(Measurand::ocv_above_acid), nullptr);
}

TEST_F(AcidTest, read_at_the_bench_after_the_rest_is_compared_and_told_beside_the_letter_that_stands) {
  take_in("[1.27]", R"("stability rest")");
  rest_at_the_bay();
  ASSERT_TRUE(file(ticket).grade);
  const char letter = file(ticket).grade->letter;
  EXPECT_EQ(file(ticket).newest(Measurand::ocv_above_acid), nullptr) << "five cells were not read";
  const auto look = [&](const std::string& acid) {
    return world->ask("ticket.inspect", ticket, R"({"acid":)" + acid + "}");
  };
  const Response seen = look(R"({"gravity":[1.27,1.27,1.27,1.2,1.27,1.27],"acid_degc":25})");
  ASSERT_EQ(seen.status, 200) << seen.body;
  EXPECT_NE(file(ticket).newest(Measurand::ocv_above_acid), nullptr);
  EXPECT_EQ(file(ticket).grade->letter, letter);
  EXPECT_THAT(file(ticket).grade->flags, Contains(HasSubstr("The acid of cell 4")));
  ASSERT_EQ(world->ask("ticket.inspect", ticket, R"({"remarks":"wet"})").status, 200);
  EXPECT_TRUE(file(ticket).ticket.inspection.acid) << "what is left out stays";
  EXPECT_EQ(look(R"({"gravity":[1.27,1.27,1.27,1.2,1.27,1.27,1.27],"acid_degc":25})").status, 400);
}

TEST_F(AcidTest, of_a_sealed_battery_is_refused_with_how_to_go_on) {
  const Response refused = world->ask("ticket.add", "",
                                      R"({"battery":{"serial":"S-2","chemistry":"gel","cells":6},)"
                                      R"("inspection":{"acid":{"gravity":[1.26],"acid_degc":25}}})");
  EXPECT_EQ(refused.status, 400);
  EXPECT_THAT(refused.body, HasSubstr("leave the hydrometer's readings out"));
  EXPECT_THAT(world->bench().ledger().files(), IsEmpty());
  const std::string gel = drop_off("S-3", "gel");
  const Response later = world->ask("ticket.inspect", gel, R"({"acid":{"gravity":[1.26],"acid_degc":25}})");
  EXPECT_THAT(later.body, HasSubstr("leave the hydrometer's readings out"));
  EXPECT_NE(later.status, 200);
}

}  // namespace
}  // namespace leadwright
