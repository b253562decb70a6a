// SPDX-License-Identifier: Apache-2.0
// Expressions in a bench hand's words.
#include "daemon/procedure/expression_words.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

/// Names of a file: a value that a step keeps, and an answer of yes or no.
Scope some_scope() {
  Scope scope;
  scope.add({"soft_volts", unit_of(Name::volts), false, false});
  scope.add({"looks_bad", Unit{}, false, true});
  return scope;
}

std::string written(const char* text) {
  return in_words(*Expression::parse(text, "", some_scope()));
}

std::string for_a_battery(const char* text) {
  Values values;
  values.set(Name::cells, 6.0);
  values.set(Name::capacity, 216000.0);
  values.set(Name::case_temperature, 25.0);
  return in_words(*Expression::parse(text, "", some_scope()), values);
}

TEST(ExpressionWords, names_are_phrases_and_volts_times_cells_are_volts_a_cell) {
  EXPECT_EQ(written("volts <= 1.75 V * cells"), "the voltage is at most 1.75 V a cell");
  EXPECT_EQ(written("volts > 15.6 V / 6 * cells"), "the voltage is above 2.6 V a cell");
  EXPECT_EQ(written("0.5 * cca"), "0.5 x CCA");
  EXPECT_EQ(written("amps >= 1 A"), "the current is at least 1 A");
}

TEST(ExpressionWords, units_are_those_that_people_use) {
  EXPECT_EQ(written("slope < 5 mV/h"), "the rise of the voltage is below 5 mV/h");
  EXPECT_EQ(written("warming > 6 K/h"), "the rise of the case temperature is above 6 K/h");
  EXPECT_EQ(written("amps_change < 10 %/h"), "the fall of the current is below 10 %/h");
  EXPECT_EQ(written("step_charge > 0.8 Ah"), "the charge moved in this step is above 0.8 Ah");
  EXPECT_EQ(written("step_energy > 10 Wh"), "the energy moved in this step is above 10 Wh");
  EXPECT_EQ(written("step_time > 20 min"), "the time in this step is above 20 min");
  EXPECT_EQ(written("step_time > 60 min"), "the time in this step is above 1 h");
  EXPECT_EQ(written("step_time > 30 s"), "the time in this step is above 30 s");
  EXPECT_EQ(written("resistance_found < 5 mohm"), "the resistance found before is below 5 mohm");
  EXPECT_EQ(written("volts * amps > 5 W"), "the voltage x the current is above 5 W");
}

TEST(ExpressionWords, brackets_stand_where_the_meaning_needs_them) {
  EXPECT_EQ(written("max(min(load_amps_max, 0.5 * cca), 15 A)"),
            "the larger of (the smaller of what the load can draw and 0.5 x CCA) and 15 A");
  EXPECT_EQ(written("(volts + 1 V) * 2"), "(the voltage + 1 V) x 2");
  EXPECT_EQ(written("volts - (soft_volts - 1 V)"), "the voltage - (\"soft volts\" - 1 V)");
  EXPECT_EQ(written("capacity / (1 h * cells)"), "the capacity / (1 h x cells)");
  EXPECT_EQ(written("volts > 1 V and (amps < 1 A or amps > 2 A)"),
            "the voltage is above 1 V and (the current is below 1 A or the current is above 2 A)");
  EXPECT_EQ(written("-volts < 1 V"), "-the voltage is below 1 V");
}

TEST(ExpressionWords, an_answer_is_yes_or_no) {
  EXPECT_EQ(written("looks_bad > 0.5"), "\"looks bad\" was answered with yes");
  EXPECT_EQ(written("looks_bad < 0.5"), "\"looks bad\" was answered with no");
}

TEST(ExpressionWords, for_a_battery_what_is_decided_is_a_number_and_what_is_measured_keeps_its_name) {
  EXPECT_EQ(for_a_battery("volts <= 1.75 V * cells"), "the voltage is at most 10.5 V");
  EXPECT_EQ(for_a_battery("0.05 * capacity / 1 h"), "3.00 A");
  EXPECT_EQ(for_a_battery("case_temperature > 45 degC"), "the case temperature is above 45 degC");
  EXPECT_EQ(for_a_battery("0.5 * cca"), "0.5 x CCA");
  EXPECT_EQ(for_a_battery("2 * cells"), "12");
  EXPECT_EQ(for_a_battery("volts > soft_volts"), "the voltage is above \"soft volts\"");
}

TEST(ExpressionWords, what_the_label_lacks_is_named) {
  const auto lacking = [](const char* text) {
    return lacks_datum(*Expression::parse(text, ""), Values(), "file").what;
  };
  EXPECT_EQ(lacking("0.5 * cca"), "it needs the CCA of the battery, and its label states none");
  EXPECT_EQ(lacking("cca * c20 / 1 h"), "it needs the CCA and C20 of the battery, and its label states none");
  EXPECT_EQ(lacking("load_amps_max"), "\"load_amps_max\" needs what this battery or place lacks");
}

}  // namespace
}  // namespace leadwright
