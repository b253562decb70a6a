// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/part_table.h"

#include <gmock/gmock.h>

#include "daemon/store/csv_line.h"

namespace leadwright {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;

std::vector<std::string> part_mistakes(std::string_view text) {
  const auto read = read_parts(text, "parts.csv");
  std::vector<std::string> lines;
  if (read) return lines;
  for (const Error& error : read.error()) {
    EXPECT_EQ(error.code, Errc::bad_input);
    lines.push_back(error.where + "| " + error.what);
  }
  return lines;
}

TEST(CsvLine, gives_fields_without_spaces_and_quotes) {
  EXPECT_THAT(*fields_of("a, b ,,d"), ElementsAre("a", "b", "", "d"));
  EXPECT_THAT(*fields_of(R"("a, b", "say ""x""",c,)"), ElementsAre("a, b", R"(say "x")", "c", ""));
  EXPECT_THAT(*fields_of(""), ElementsAre(""));
}

TEST(CsvLine, refuses_quotes_that_do_not_match_and_semicolons) {
  EXPECT_THAT(fields_of(R"(a,"b)").error().what, HasSubstr("not closed"));
  EXPECT_THAT(fields_of(R"(a,b"c)").error().what, HasSubstr("amid a field"));
  EXPECT_THAT(fields_of(R"("a"b,c)").error().what, HasSubstr("behind a quoted field"));
  EXPECT_THAT(fields_of("a;b;c").error().what, HasSubstr("semicolons"));
}

TEST(PartTable, fills_a_label_by_the_number_that_was_scanned) {
  const auto table = read_parts(
      "\xef\xbb\xbf# mine\r\n\r\nsize_code,part,chemistry,cells,cca_a,cca_standard,c20_ah\r\n"
      "\"X2, low\",Ab-1,agm,6,720,en,70.5\r\n,C2,flooded,3,,,\r\n",
      "parts.csv");
  ASSERT_TRUE(table) << table.error().front().line();
  EXPECT_EQ(table->size(), 2U);
  const Nameplate* plate = table->find(" aB-1 ");
  ASSERT_NE(plate, nullptr);
  EXPECT_EQ(plate->chemistry, Chemistry::agm);
  EXPECT_EQ(plate->cells, 6);
  EXPECT_EQ(plate->cca->value, Ampere(720.0));
  EXPECT_EQ(plate->cca->standard, RatingStandard::en);
  EXPECT_EQ(plate->c20->value, ampere_hours(70.5));
  EXPECT_EQ(plate->size_code, "X2, low");
  EXPECT_FALSE(table->find("C2")->cca);
  EXPECT_EQ(table->find("C3"), nullptr);
}

TEST(PartTable, says_every_mistake_with_line_and_column) {
  EXPECT_THAT(
      part_mistakes("part,chemistry,cells,cca_a,cca_standard\n"
                    "A,agm,6,720\n"
                    "B,amg,6,,\n"
                    "C,agm,4,,\n"
                    "D,agm,6,720 A,en\n"
                    "E,agm,6,720,\n"
                    ",agm,6,,\n"
                    "F,agm,6,,\n"
                    "# a remark\n"
                    "f,agm,6,,\n"
                    "G,agm,6,9000,en\n"),
      ElementsAre(HasSubstr("parts.csv:2| 4 fields under 5 columns"),
                  HasSubstr("parts.csv:3: chemistry| unknown word \"amg\""), HasSubstr("parts.csv:4: cells|"),
                  HasSubstr("parts.csv:5: cca_a| \"720 A\" is no number"),
                  HasSubstr("parts.csv:6: cca_standard| missing"),
                  HasSubstr("parts.csv:7: part| a part without its number"),
                  HasSubstr("parts.csv:10: part| F stands already in line 8"),
                  HasSubstr("parts.csv:11: cca_a| no starter battery has this rating")));
}

TEST(PartTable, refuses_columns_that_it_does_not_know_twice_or_not_at_all) {
  EXPECT_THAT(part_mistakes("part,chemistry,cell,colour\nA,agm,6,red\n"),
              ElementsAre(HasSubstr("parts.csv:1: cell| no such column"),
                          HasSubstr("parts.csv:1: colour| no such column"),
                          HasSubstr("parts.csv:1: cells| this column is missing")));
  EXPECT_THAT(part_mistakes("part,part,chemistry,cells\n"), ElementsAre(HasSubstr("stands twice")));
  EXPECT_THAT(part_mistakes("# nothing\n"), ElementsAre(HasSubstr("no line that names the columns")));
  EXPECT_THAT(part_mistakes("part,chemistry,cells\nA,agm,6\n\xff,agm,6\n"),
              ElementsAre(HasSubstr("parts.csv:3| bytes")));
}

TEST(PartTable, of_the_demo_is_right) {
  const auto table = load_parts(LEADWRIGHT_SOURCE_DIR "/config/demo/parts.csv");
  ASSERT_TRUE(table) << table.error().front().line();
  ASSERT_NE(table->find("EX-70-6V"), nullptr);
  EXPECT_EQ(table->find("EX-70-6V")->cells, 3);
  EXPECT_EQ(load_parts("/nowhere/parts.csv").error().size(), 1U);
}

}  // namespace
}  // namespace leadwright
