// SPDX-License-Identifier: Apache-2.0
#include "tools/returns/triage_figures.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "daemon/battery/procedure_names.h"

namespace leadwright {
namespace {

using testing::HasSubstr;
using testing::Not;

/// Came in at 12.7 V, with 640 A on its label; 6.4 V of resistance times that.
RehearsedReturn rehearsed(double share, Volt load_margin) {
  RehearsedReturn one;
  one.one.make.cells = 6;
  one.one.cca = Ampere(640.0);
  one.truth.share = share;
  one.truth.load_margin = load_margin;
  one.visit.came = Volt(12.7);
  one.visit.resistance = Ohm(0.01);
  return one;
}

TEST(TriageFigures, count_what_each_test_truly_fails_of_batteries_that_came_in_alike) {
  const std::string text =
      triage_figures({rehearsed(0.9, Volt(0.5)), rehearsed(0.5, Volt(0.5)), rehearsed(0.5, Volt(-0.5))}, 0.6);
  EXPECT_THAT(text, HasSubstr("came = \"charged\"\nresistance_from = \"5.0 V\"\nbatteries = 3\n"
                              "load_fails = 1\nminutes_fail = 2\nboth_fail = 1\n"));
}

TEST(TriageFigures, leave_out_what_nobody_measured) {
  RehearsedReturn unmeasured = rehearsed(0.5, Volt(0.5));
  unmeasured.visit.resistance.reset();
  RehearsedReturn no_label = rehearsed(0.5, Volt(0.5));
  no_label.one.states_cca = false;
  EXPECT_THAT(triage_figures({unmeasured, no_label}, 0.6), Not(HasSubstr("[[triage.seen]]")));
}

TEST(TriageFigures, tell_a_charge_after_a_load_test_from_the_first_one) {
  RehearsedReturn one = rehearsed(0.9, Volt(0.5));
  one.visit.times = {{std::string(procedure_name::charge), hours(6.0)},
                     {std::string(procedure_name::rest), hours(3.0)},
                     {std::string(procedure_name::half_cca_load), minutes(6.0)},
                     {std::string(procedure_name::charge), hours(2.0)}};
  const std::string text = triage_figures({one}, 0.6);
  EXPECT_THAT(text, HasSubstr("# standard charge: 6.00 h, mean of 1\n"));
  EXPECT_THAT(text, HasSubstr("# standard charge after the half-CCA load test: 2.00 h, mean of 1\n"));
}

}  // namespace
}  // namespace leadwright
