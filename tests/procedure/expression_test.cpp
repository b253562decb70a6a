// SPDX-License-Identifier: Apache-2.0
#include "daemon/procedure/expression.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

/// A flooded 12 V, 60 Ah block, 12.6 V at 5 A after ten minutes; no temperature, no CCA.
Values values() {
  Values values;
  values.set(Name::cells, 6.0);
  values.set(Name::capacity, 60.0 * 3600.0);
  values.set(Name::charge_volts, 14.4);
  values.set(Name::volts, 12.6);
  values.set(Name::amps, 5.0);
  values.set(Name::step_time, 600.0);
  values.set(Name::slope, -4e-3 / 3600.0);
  return values;
}

std::optional<double> value(std::string_view text) {
  const auto expression = Expression::parse(text, "here");
  if (!expression) {
    ADD_FAILURE() << text << ": " << expression.error().line();
    return {};
  }
  return expression->evaluate(values());
}

bool holds(std::string_view text) {
  const auto expression = Expression::parse(text, "here");
  if (!expression) ADD_FAILURE() << text << ": " << expression.error().line();
  return expression && expression->holds(values());
}

Error mistake(std::string_view text) {
  const auto expression = Expression::parse(text, "rc.toml:3:8: amps");
  if (expression) {
    ADD_FAILURE() << text << " was accepted";
    return {};
  }
  return expression.error();
}

TEST(Expression, reads_every_unit_in_si) {
  EXPECT_EQ(value("25 A"), 25.0);
  EXPECT_EQ(value("1500mA"), 1.5);
  EXPECT_EQ(value("2 V"), 2.0);
  EXPECT_NEAR(*value("5 mV"), 0.005, 1e-15);
  EXPECT_EQ(value("60 Ah"), 216000.0);
  EXPECT_EQ(value("3 W"), 3.0);
  EXPECT_EQ(value("1 Wh"), 3600.0);
  EXPECT_EQ(value("30 s"), 30.0);
  EXPECT_EQ(value("2 min"), 120.0);
  EXPECT_EQ(value("1.5 h"), 5400.0);
  EXPECT_EQ(value("50 degC"), 50.0);
  EXPECT_EQ(value("3 K"), 3.0);
  EXPECT_EQ(value("2 ohm"), 2.0);
  EXPECT_NEAR(*value("6 mohm"), 0.006, 1e-15);
  EXPECT_NEAR(*value("10 %"), 0.1, 1e-15);
}

TEST(Expression, binds_a_unit_over_a_unit_to_its_number) {
  EXPECT_NEAR(*value("5 mV/h"), 5e-3 / 3600.0, 1e-15);
  EXPECT_NEAR(*value("10 %/h"), 0.1 / 3600.0, 1e-15);
  EXPECT_NEAR(*value("12 V / 6 V/h"), 7200.0, 1e-9);
}

TEST(Expression, knows_min_the_function_from_min_the_unit) {
  EXPECT_EQ(value("min(3 min, 100 s)"), 100.0);
  EXPECT_EQ(value("max(1 A, 3 A, 2 A)"), 3.0);
  EXPECT_EQ(value("min(0.2 * capacity / 1 h, 20 A)"), 12.0);
}

TEST(Expression, multiplies_before_it_adds) {
  EXPECT_EQ(value("1 + 2 * 3"), 7.0);
  EXPECT_EQ(value("(1 + 2) * 3"), 9.0);
  EXPECT_EQ(value("8 / 4 / 2"), 1.0);
  EXPECT_EQ(value("8 - 4 - 2"), 2.0);
  EXPECT_EQ(value("-2 * -3"), 6.0);
  EXPECT_EQ(value("1.75 V * cells"), 10.5);
}

TEST(Expression, compares_and_joins) {
  EXPECT_TRUE(holds("volts > 12 V and amps < 6 A"));
  EXPECT_TRUE(holds("volts < 12 V or amps >= 5 A"));
  EXPECT_FALSE(holds("volts < 12 V and amps >= 5 A or amps > 5 A"));
  EXPECT_TRUE(holds("slope < 5 mV/h and slope > -5 mV/h"));
  EXPECT_TRUE(holds("volts <= 12.6 V"));
}

TEST(Expression, gives_the_unit_of_its_result) {
  EXPECT_EQ(Expression::parse("1.75 V * cells", "")->unit().text(), "V");
  EXPECT_EQ(Expression::parse("0.2 * capacity / 1 h", "")->unit(), unit_of(Name::amps));
  EXPECT_EQ(Expression::parse("volts * amps", "")->unit().text(), "W");
  EXPECT_EQ(Expression::parse("volts / amps", "")->unit().text(), "ohm");
  EXPECT_EQ(Expression::parse("cells", "")->unit().text(), "a number");
  EXPECT_EQ(Expression::parse("volts < 1 V", "")->unit().text(), "a condition");
  EXPECT_EQ(Expression::parse("1 V / 1 K", "")->unit().text(), "V K^-1");
}

TEST(Expression, keeps_missing_missing) {
  EXPECT_FALSE(value("cca"));
  EXPECT_FALSE(value("0.5 * cca + 1 A"));
  EXPECT_FALSE(value("min(cca, 10 A)"));
  EXPECT_FALSE(value("-cca"));
  EXPECT_FALSE(holds("case_temperature > 10 degC"));
  EXPECT_FALSE(holds("case_temperature <= 10 degC"));
}

TEST(Expression, lets_or_and_and_do_without_what_they_do_not_need) {
  EXPECT_TRUE(holds("case_temperature > 50 degC or volts > 12 V"));
  EXPECT_TRUE(holds("volts > 12 V or case_temperature > 50 degC"));
  EXPECT_EQ(value("case_temperature > 50 degC and volts > 13 V"), 0.0);
  EXPECT_FALSE(value("case_temperature > 50 degC and volts > 12 V"));
  EXPECT_FALSE(value("case_temperature > 50 degC or volts > 13 V"));
}

TEST(Expression, has_no_value_where_a_division_has_none) {
  EXPECT_FALSE(value("1 V / 0 A"));
  EXPECT_FALSE(value("0 / 0"));
}

struct WrongExpression {
  const char* text;
  const char* what;  ///< part of the message
};

TEST(Expression, says_what_is_wrong_and_at_which_character) {
  const WrongExpression mistakes[] = {
      {"", "at character 1: something is missing"},
      {"25 A +", "at character 7: something is missing"},
      {"25 A + 3 V", "at character 6: the units do not agree: A and V"},
      {"volts < 3 A", "at character 7: the units do not agree: V and A"},
      {"25 frogs", "at character 4: \"frogs\" is left over"},
      {"frogs", "at character 1: nothing is called \"frogs\""},
      {"2 * volst", "at character 5: nothing is called \"volst\""},
      {"V", "at character 1: the unit \"V\" has no number"},
      {"(1 + 2", "at character 7: a \")\" is missing"},
      {"1 + 2)", "at character 6: \")\" is left over"},
      {"min(1 A)", "at character 1: min and max need"},
      {"min(1 A, 2 V)", "the units do not agree: A and V"},
      {"volts and amps", "\"and\" joins conditions"},
      {"(volts < 1 V) + 1", "a condition is used as a value"},
      {"(volts < 1 V) * 2", "a condition is used as a value"},
      {"-(volts < 1 V)", "a condition has no negative"},
      {"1 < 2 < 3", "at character 7: \"< 3\" is left over"},
      {"25 $", "at character 4: \"$\" is left over"},
      {"$", "at character 1: \"$\" does not belong here"},
      {"1e999 A", "at character 1: a number can't be read"},
      {"volts*volts*volts*volts*volts*volts*volts", "too high a power"},
  };
  for (const WrongExpression& one : mistakes) {
    const Error error = mistake(one.text);
    EXPECT_NE(error.what.find(one.what), std::string::npos) << one.text << " -> " << error.what;
    EXPECT_EQ(error.where, "rc.toml:3:8: amps");
    EXPECT_EQ(error.code, Errc::bad_input);
    EXPECT_FALSE(error.mend.empty()) << one.text;
  }
}

TEST(Expression, offers_the_name_that_was_meant) {
  EXPECT_NE(mistake("2 * volt").mend.find("\"volts\""), std::string::npos) << mistake("2 * volt").mend;
}

TEST(Expression, bounds_length_and_depth) {
  EXPECT_NE(mistake(std::string(401, '1')).what.find("longer than"), std::string::npos);
  EXPECT_NE(mistake(std::string(150, '(') + "1" + std::string(150, ')')).what.find("too deeply"),
            std::string::npos);
  EXPECT_NE(mistake(std::string(200, '-') + "1").what.find("too deeply"), std::string::npos);
}

TEST(Expression, survives_every_short_string_of_its_own_characters) {
  const std::string letters = "1V m(),<=+-*/.%ao";
  std::size_t accepted = 0;
  std::string text(4, ' ');
  for (const char a : letters)
    for (const char b : letters)
      for (const char c : letters)
        for (const char d : letters) {
          text = {a, b, c, d};
          const auto parsed = Expression::parse(text, "");
          if (parsed) {
            ++accepted;
            const auto ignored = parsed->evaluate(values());
            static_cast<void>(ignored);
          }
        }
  EXPECT_GT(accepted, 100U);
}

TEST(Expression, knows_which_names_it_uses_and_whether_they_are_live) {
  const auto limit = Expression::parse("min(0.2 * capacity / 1 h, 20 A)", "");
  EXPECT_TRUE(limit->uses(Name::capacity));
  EXPECT_FALSE(limit->uses(Name::volts));
  EXPECT_FALSE(limit->is_live());
  EXPECT_TRUE(Expression::parse("volts < 1.75 V * cells", "")->is_live());
}

TEST(Expression, is_missing_when_it_was_never_parsed) {
  const Expression nothing;
  EXPECT_FALSE(nothing.evaluate(values()));
  EXPECT_EQ(nothing.text(), "");
}

TEST(Names, are_read_back_by_their_words) {
  for (int i = 0; i < static_cast<int>(Name::count_); ++i) {
    const auto name = static_cast<Name>(i);
    EXPECT_EQ(name_of(word(name)), name);
  }
  EXPECT_FALSE(name_of("Volts"));
}

}  // namespace
}  // namespace leadwright
