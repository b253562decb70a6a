// SPDX-License-Identifier: Apache-2.0
#include <gmock/gmock.h>

#include <algorithm>
#include <fstream>
#include <iterator>

#include "daemon/store/json.h"
#include "tools/client/export_tables.h"
#include "tools/client/json_view.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

const ExportTable& table_named(std::string_view name) {
  return *std::ranges::find(export_tables(), name, &ExportTable::name);
}

TEST(Export, of_a_ticket_is_one_line_with_what_lies_in_its_objects) {
  const ExportTable& tickets = table_named("tickets");
  const std::string row = export_row(
      tickets, ExportFormat::csv,
      R"({"ticket":"T-000001-9","battery":"B-000001","previous":null,"needs_recharge":true,)"
      R"("procedures":["a","b"],"story":{"complaint":"slow, \"cold\""},"inspection":{"cracked":false}})");
  EXPECT_THAT(export_head(tickets, ExportFormat::csv), HasSubstr("ticket,battery,previous,state,"));
  EXPECT_THAT(row, HasSubstr("T-000001-9,B-000001,,,"));
  EXPECT_THAT(row, HasSubstr(R"(true,"[""a"",""b""]","slow, ""cold""",,,,false,)"));
  EXPECT_EQ(std::ranges::count(row, '\n'), 1);
}

TEST(Export, leaves_out_nothing_that_the_bench_tells_of_a_ticket) {
  std::string head = "," + export_head(table_named("tickets"), ExportFormat::csv);
  head.back() = ',';
  const auto ticket = parse_json(to_json(Ticket{}));
  ASSERT_TRUE(ticket);
  for (const auto& [key, value] : ticket->get_object()) {
    const std::string name(key);
    if (!value.is_object()) {
      EXPECT_THAT(head, HasSubstr("," + name + ",")) << name;
      continue;
    }
    for (const auto& [inner, ignored] : value.get_object())
      EXPECT_THAT(head, HasSubstr("," + name + "." + std::string(inner) + ","));
  }
}

TEST(Export, writes_plain_decimals_and_nothing_for_what_is_missing) {
  const std::string row =
      export_row(table_named("samples"), ExportFormat::csv,
                 R"({"run":"R-000001","t_s":1E1,"step":2,"volts_v":1.2625E1,"amps_a":null})");
  EXPECT_EQ(row, "R-000001,10,2,12.625,,\n");
}

TEST(Export, as_json_lines_has_the_members_of_the_columns_and_nobodys_name) {
  const std::string row = export_row(
      table_named("overrides"), ExportFormat::jsonl,
      R"({"ticket":"T-000001-9","number":1,"letter":"C","proposed_by":"Paula","settled_by":"Sam"})");
  EXPECT_THAT(row, HasSubstr(R"("letter":"C")"));
  EXPECT_THAT(row, testing::Not(HasSubstr("Paula")));
  EXPECT_THAT(row, testing::Not(HasSubstr("Sam")));
  EXPECT_EQ(export_head(table_named("overrides"), ExportFormat::jsonl), "");
}

TEST(Export, quotes_a_cell_only_where_it_must) {
  EXPECT_EQ(csv_cell("plain text"), "plain text");
  EXPECT_EQ(csv_cell("a,b"), "\"a,b\"");
  EXPECT_EQ(csv_cell("two\nlines"), "\"two\nlines\"");
  EXPECT_EQ(csv_cell("say \"no\""), "\"say \"\"no\"\"\"");
}

TEST(Export, has_each_column_of_each_table_in_its_published_schema_and_no_other) {
  std::ifstream file(LEADWRIGHT_SOURCE_DIR "/config/export.md");
  const std::string page(std::istreambuf_iterator<char>(file), {});
  std::size_t rows = 0;
  for (const ExportTable& table : export_tables()) {
    const auto from = page.find("\n## " + std::string(table.name) + "\n");
    ASSERT_NE(from, std::string::npos) << table.name;
    const std::string part = page.substr(from, page.find("\n## ", from + 1) - from);
    for (const std::string_view column : table.columns) {
      EXPECT_THAT(part, HasSubstr("\n| `" + std::string(column) + "` | ")) << table.name;
      ++rows;
    }
  }
  std::size_t told = 0;
  for (auto at = page.find("\n| `"); at != std::string::npos; at = page.find("\n| `", at + 1)) ++told;
  EXPECT_EQ(told, rows);
}

}  // namespace
}  // namespace leadwright
