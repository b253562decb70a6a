// SPDX-License-Identifier: Apache-2.0
// What the console lets through, and the many ways in which a command might try to look like a question.
#include "tools/client/instrument/message_guard.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <vector>

namespace leadwright {
namespace {

using testing::HasSubstr;

const std::vector<std::string> safe{"INP OFF", "CURR 0", "VOLT:PROT:STAT ON;:OUTP OFF", "FUNC \"CURR\""};

bool passes(const std::string& line) {
  return guard_message(line, safe).has_value();
}

std::string reason(const std::string& line) {
  const auto guarded = guard_message(line, safe);
  return guarded ? "let through: " + guarded->text : guarded.error().what;
}

TEST(MessageGuard, lets_questions_through_as_they_are_written) {
  for (const char* line :
       {"*IDN?", "*idn?", ":SYST:ERR?", "system:error:next?", "MEAS:VOLT:DC?", "MEAS:VOLT?;:MEAS:CURR?",
        "MEAS:VOLT?;CURR?", "STAT:QUES:COND?", "CURR? MAX", "CURR? minimum", "MEAS:VOLT? (@1,2:4)",
        "OUTP2:STAT?", "*ESR?;*STB?", "INP:CUT:TRIP?", "CALC:DATA?"}) {
    const auto guarded = guard_message(line);
    ASSERT_TRUE(guarded) << line << ": " << guarded.error().what;
    EXPECT_EQ(guarded->text, line);
    EXPECT_TRUE(guarded->is_question) << line;
  }
}

TEST(MessageGuard, lets_status_commands_through_and_expects_no_answer) {
  for (const char* line : {"*CLS", "*cls", "*WAI", "*OPC", "*ESE 0", "*ese 255", "*SRE  7", "*CLS;*ESE 1"}) {
    const auto guarded = guard_message(line);
    ASSERT_TRUE(guarded) << line << ": " << guarded.error().what;
    EXPECT_FALSE(guarded->is_question) << line;
  }
  EXPECT_TRUE(guard_message("*ESE 101;*ESE?")->is_question);
}

TEST(MessageGuard, takes_blanks_off_the_ends) {
  EXPECT_EQ(guard_message("   *IDN?  ")->text, "*IDN?");
}

TEST(MessageGuard, refuses_what_switches_on_or_sets_in_every_spelling) {
  for (const char* line : {"INP ON",
                           "inp on",
                           "INPUT ON",
                           "INPut:STATe 1",
                           ":INP ON",
                           "  :inp   on",
                           "OUTP 1",
                           "OUTPUT:STATE ON",
                           "CURR 5",
                           "CURR 5.0",
                           "curr 1",
                           ":SOUR:CURR:LEV:IMM:AMPL 5",
                           "SOURCE:CURRENT 5A",
                           "VOLT 14.4",
                           "CURR:PROT:STAT OFF",
                           "*RST",
                           "*TRG",
                           "*RCL 1",
                           "*SAV 1",
                           "INIT",
                           "TRIG",
                           "SYST:REM",
                           "SYST:LOC",
                           "CURR0",
                           "CURR",
                           "INP OFF;INP ON",
                           "STAT:PRES"}) {
    EXPECT_FALSE(passes(line)) << line;
  }
}

TEST(MessageGuard, refuses_a_command_anywhere_in_a_chain) {
  for (const char* line : {"MEAS:VOLT?;INP ON", "MEAS:VOLT?;:INP ON", "INP ON;MEAS:VOLT?", "*IDN?;*RST",
                           "*IDN?;;INP ON", "*CLS;CURR 5", "*ESE 1;CURR 5;*ESE?", "MEAS:VOLT?  ;  :CURR 5",
                           "MEAS:VOLT?;:CURR 5;", "*IDN?;OUTP ON"}) {
    EXPECT_FALSE(passes(line)) << line;
  }
}

TEST(MessageGuard, refuses_a_question_mark_that_makes_no_question) {
  for (const char* line : {"INP ON?", "INP ON ?", "INP ?",      "CURR 5?", "CURR?5",
                           "CURR ?5", "INP?ON",   "?",          "?INP ON", "INP? ON",
                           "CURR? 5", "CURR? 5A", "CURR?? MAX", "IN?P ON", "CURR:?",
                           "::CURR?", ":?",       "CURR,5?",    "*?",      "* IDN?",
                           "*IDN ?",  "*ESE? 5",  "5?",         "_?",      "MEAS:VOLT? 10,0.001"}) {
    EXPECT_FALSE(passes(line)) << line;
  }
}

TEST(MessageGuard, refuses_questions_that_make_an_instrument_act) {
  for (const char* line : {"*TST?",
                           "*CAL?",
                           "*RST?",
                           "*TRG?",
                           "CAL?",
                           "cal:all?",
                           ":CALibration:ALL?",
                           "CALIB?",
                           "TEST?",
                           "TEST:ALL?",
                           "TST?",
                           "DIAG:REL?",
                           "DIAGNOSTIC?",
                           "SELF?",
                           "SELFTEST:RUN?",
                           "INIT?",
                           "INITIATE:IMM?",
                           "TRIG?",
                           "OUTP:PROT:CLE?",
                           "OUTP:PROT:CLEAR?",
                           "PROG:EXEC?",
                           "CAL1?",
                           "*LRN?"}) {
    EXPECT_FALSE(passes(line)) << line;
  }
}

TEST(MessageGuard, refuses_everything_behind_which_a_command_could_hide) {
  const std::string nul("*IDN?\0INP ON", 12);
  for (const std::string& line : {std::string("*IDN?\nINP ON"),
                                  std::string("*IDN?\rINP ON"),
                                  std::string("*IDN?\r\n"),
                                  std::string("*IDN?\tINP ON"),
                                  std::string("INP\tON"),
                                  nul,
                                  std::string("\"*IDN?\";INP ON"),
                                  std::string("MEAS? \";INP ON;\""),
                                  std::string("MEAS? ';INP ON'"),
                                  std::string("*IDN?#15INP ON"),
                                  std::string("DATA? #0INP ON"),
                                  std::string("*IDN?\xC2\xA0;INP ON"),
                                  std::string("\xEF\xBC\xA9NP ON"),
                                  std::string("*IDN?\x1B[A"),
                                  std::string("*IDN?\x7F"),
                                  std::string("MEAS:VOLT? (@1);INP ON"),
                                  std::string("MEAS:VOLT? (@1;INP ON)"),
                                  std::string("MEAS:VOLT? (@1)INP ON"),
                                  std::string("MEAS? CURR 5"),
                                  std::string("MEAS? MAX CURR 5"),
                                  std::string("MEAS? (@1) CURR 5)"),
                                  std::string("MEAS? (@)"),
                                  std::string("MEAS? (@1,2"),
                                  std::string("CURR?\\;INP ON"),
                                  std::string("`INP ON`?"),
                                  std::string("{n}?"),
                                  std::string("A=B?")}) {
    EXPECT_FALSE(passes(line)) << line;
  }
}

TEST(MessageGuard, refuses_masks_that_are_none) {
  for (const char* line : {"*ESE", "*ESE 256", "*ESE -1", "*ESE 1.5", "*ESE 1,2", "*ESE 1 2", "*ESE MAX",
                           "*ESE1", "*ESE 0001", "*CLS 1", "*WAI 1", "*OPC 1", "*SRE 999"}) {
    EXPECT_FALSE(passes(line)) << line;
  }
}

TEST(MessageGuard, refuses_nothing_and_empty_parts) {
  for (const char* line : {"", "   ", ";", "*IDN?;", ";*IDN?", "*IDN?; ;*IDN?"})
    EXPECT_FALSE(passes(line)) << line;
}

TEST(MessageGuard, refuses_a_message_that_a_small_buffer_could_cut_in_two) {
  std::string line = "MEAS:VOLT?";
  while (line.size() + 11 <= guarded_message_max) line += ";MEAS:VOLT?";
  EXPECT_TRUE(passes(line));
  line += ";MEAS:VOLT?";
  EXPECT_THAT(reason(line), HasSubstr("too long"));
}

TEST(MessageGuard, sends_the_profiles_own_safe_words_as_the_profile_writes_them) {
  EXPECT_EQ(guard_message("  inp   off ", safe)->text, "INP OFF");
  EXPECT_EQ(guard_message("CURR 0", safe)->text, "CURR 0");
  EXPECT_EQ(guard_message("volt:prot:stat on;:outp off", safe)->text, "VOLT:PROT:STAT ON;:OUTP OFF");
  EXPECT_EQ(guard_message("func \"curr\"", safe)->text, "FUNC \"CURR\"");
  EXPECT_FALSE(guard_message("INP OFF", safe)->is_question);
}

TEST(MessageGuard, takes_safe_words_as_whole_lines_only) {
  // Behind another unit the same words may mean another node: VOLT:PROT:STAT?;STAT OFF switches a protection
  // off.
  for (const char* line :
       {"*IDN?;INP OFF", "INP OFF;CURR 0", "CURR 0;INP ON", "CURR 00", "CURR 0.0", "CURR 05",
        "VOLT:PROT:STAT ON", ":INP OFF", "INPUT OFF", "OUTP OFF", "INPOFF", "CURR 0 5"}) {
    EXPECT_FALSE(passes(line)) << line;
  }
  EXPECT_FALSE(guard_message("INP OFF"));
}

TEST(MessageGuard, names_the_unit_and_the_reason) {
  EXPECT_EQ(reason("MEAS:VOLT?;:INP ON"), ":INP ON is a command, not a question");
  EXPECT_EQ(reason("*TST?"), "*TST? is no question that only reads");
  EXPECT_EQ(reason("CAL?"), "CAL? may make the instrument act");
  EXPECT_THAT(reason("CURR? 5"), HasSubstr("argument other than MIN"));
  EXPECT_THAT(reason("MEAS? \"x\""), HasSubstr("quotation mark"));
  EXPECT_EQ(guard_message("INP ON").error().code, Errc::refused);
}

TEST(ProfileQuestions, may_have_any_argument_but_no_command_between_them) {
  for (const char* question : {"*IDN?", "MEAS:VOLT?;:MEAS:CURR?", "FETC:VOLT? 1", "CURR? MAX",
                               "*ESE 101;*ESE?", "READ? (@1)", "*TST?"}) {
    EXPECT_TRUE(check_only_asks(question)) << question;
  }
  for (const char* question : {"OUTP ON;*IDN?", "MEAS:VOLT?;:CURR 5", "CURR 101;*ESE?", "*RST;*IDN?",
                               "*IDN?\nINP ON", "\"?", "MEAS:VOLT ?", "*ESE 5000;*ESE?", ""}) {
    EXPECT_FALSE(check_only_asks(question)) << question;
  }
}

}  // namespace
}  // namespace leadwright
