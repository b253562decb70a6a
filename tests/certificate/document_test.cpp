// SPDX-License-Identifier: Apache-2.0
// What can be told of drawn files without outside programs; tools/lib/peers_paper.py looks at them with such.
#include "daemon/certificate/document.h"

#include <gmock/gmock.h>

#include "daemon/battery/grade_override.h"
#include "daemon/certificate/barcode.h"
#include "daemon/certificate/label.h"
#include "tests/certificate/example_certificate.h"

namespace leadwright {
namespace {

using testing::HasSubstr;
using testing::Not;

std::string page(Drawing drawing, Paper paper = Paper::a4) {
  auto document = certificate_document(example_certificate(), example_key(), drawing, paper);
  EXPECT_TRUE(document) << document.error().line();
  return document.value_or("");
}

std::size_t count(const std::string& text, const std::string& part) {
  std::size_t found = 0;
  for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++found;
  return found;
}

std::size_t pages_of(const std::string& pdf) {
  return count(pdf, "/Type /Page") - count(pdf, "/Type /Pages");
}

TEST(Document, is_one_page_and_the_same_bytes_each_time) {
  const std::string first = page(Drawing::pdf);
  EXPECT_TRUE(first.starts_with("%PDF-"));
  EXPECT_EQ(pages_of(first), 1U);
  EXPECT_EQ(first, page(Drawing::pdf));
}

TEST(Document, has_the_size_of_its_paper) {
  EXPECT_THAT(page(Drawing::pdf, Paper::a4), HasSubstr("595.27"));
  EXPECT_THAT(page(Drawing::pdf, Paper::letter), HasSubstr("612 "));
}

TEST(Document, as_svg_names_itself_and_loads_nothing_from_outside) {
  const std::string drawn = page(Drawing::svg);
  EXPECT_THAT(drawn, HasSubstr("<title>Battery test certificate T-000001-"));
  EXPECT_THAT(drawn, HasSubstr("<metadata>leadwright-certificate-1:"));
  EXPECT_THAT(drawn, Not(HasSubstr("<script")));
  EXPECT_THAT(drawn, Not(HasSubstr("href=\"http")));
}

/// Texts as long as a person may type them, and more of everything than a bench gives.
Certificate longest_certificate() {
  Certificate made = example_certificate();
  const std::string typed(2000, 'w');
  made.reason = made.disposition = made.warranty = made.second_life = typed;
  made.own_letter = OwnLetter{'D', "worn", std::string(GradeOverride::why_length_max, 'w'), Utc()};
  for (CertificateFact& fact : made.nameplate) fact.value = typed;
  for (CertificateFact& fact : made.visit) fact.value = typed;
  made.findings.resize(
      40, {FindingKind::forecast, "a name of several words", "1.234 +- 0.056 mohm", typed, "R-1"});
  made.not_measured.resize(20, typed);
  made.remembered = made.overrides = made.work = made.faults = made.flags = made.not_measured;
  made.instruments.resize(30, {"bay-1.load", typed, "calibration date not known"});
  return made;
}

TEST(Document, holds_the_longest_visit_on_one_page_of_either_paper) {
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    const auto document = certificate_document(longest_certificate(), example_key(), Drawing::pdf, paper);
    ASSERT_TRUE(document) << document.error().line();
    EXPECT_EQ(pages_of(*document), 1U);
  }
}

TEST(Document, knows_papers_and_drawings_by_name_alone) {
  EXPECT_EQ(paper_of("letter"), Paper::letter);
  EXPECT_FALSE(paper_of("A3"));
  EXPECT_EQ(drawing_of("a/b.svg"), Drawing::svg);
  EXPECT_FALSE(drawing_of("page.png"));
}

TEST(Label, is_drawn_at_the_width_of_the_stock_and_not_at_a_width_that_is_none) {
  const auto label = label_document(example_certificate(), Drawing::svg, {60});
  ASSERT_TRUE(label) << label.error().line();
  EXPECT_THAT(*label, HasSubstr("width=\"170.07"));
  for (const int mm : {0, -1, 39, 151}) {
    const auto refused = label_document(example_certificate(), Drawing::svg, {mm});
    ASSERT_FALSE(refused) << mm;
    EXPECT_EQ(refused.error().where, "--width-mm");
  }
}

TEST(Barcode, is_one_row_for_code_128_and_a_square_for_qr) {
  const auto bars = code_128("T-000001-3");
  ASSERT_TRUE(bars);
  EXPECT_EQ(bars->rows.size(), 1U);
  EXPECT_TRUE(bars->rows[0].front() && bars->rows[0].back()) << "a code begins and ends with a bar";
  const auto square = qr("T-000001-3");
  ASSERT_TRUE(square);
  EXPECT_EQ(square->rows.size(), square->width());
  EXPECT_FALSE(qr(std::string(5000, 'x')));
}

}  // namespace
}  // namespace leadwright
