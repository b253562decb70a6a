// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/exposition.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "exposition_checker.h"

namespace leadwright {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;

TEST(Metrics, are_written_as_families_of_samples) {
  Exposition out;
  out.family("leadwright_doors", "gauge", "Doors by colour.");
  out.sample({{"colour", "red"}}, std::uint64_t{3});
  out.sample({}, "-0.5");
  EXPECT_EQ(out.text(),
            "# HELP leadwright_doors Doors by colour.\n# TYPE leadwright_doors gauge\n"
            "leadwright_doors{colour=\"red\"} 3\nleadwright_doors -0.5\n");
  EXPECT_THAT(ExpositionChecker::mistakes(out.text()), IsEmpty());
}

TEST(Metrics, escape_what_would_end_a_label_and_show_a_byte_that_is_no_text) {
  Exposition out;
  out.family("leadwright_x", "gauge", "X.");
  out.sample({{"a", "say \"no\"\\\n"}, {"b", "\xFF"}}, std::uint64_t{1});
  EXPECT_THAT(out.text(), HasSubstr(R"({a="say \"no\"\\\n",b=")"
                                    "\xEF\xBF\xBD\"} 1\n"));
  EXPECT_THAT(ExpositionChecker::mistakes(out.text()), IsEmpty());
}

// The checker itself: it must not be blind.
TEST(MetricsChecker, finds_each_mistake) {
  const std::string head = "# HELP a_total A.\n# TYPE a_total counter\n";
  const std::string histogram = "# HELP h_seconds H.\n# TYPE h_seconds histogram\n";
  for (const std::string& bad : {
           std::string("a 1\n"),
           std::string("# HELP a A.\n# TYPE a counter\na 1\n"),
           std::string("# HELP a_total A.\n# TYPE a_total gauge\na_total 1\n"),
           std::string("# HELP a_ms A.\n# TYPE a_ms gauge\na_ms 1\n"),
           std::string("# TYPE a_total counter\na_total 1\n"),
           head + "a_total{b=\"c\nd\"} 1\n",
           head + "a_total{b=\"c\"d\"} 1\n",
           head + "a_total{2=\"c\"} 1\n",
           head + "a_total 1\na_total 1\n",
           head + "a_total one\n",
           head + "a_total 1\n" + head,
           head + "a_total 1",
           histogram + "h_seconds_bucket{le=\"1\"} 2\nh_seconds_sum 1\nh_seconds_count 2\n",
           histogram + "h_seconds_bucket{le=\"1\"} 2\nh_seconds_bucket{le=\"+Inf\"} 1\nh_seconds_count 1\n",
           histogram + "h_seconds_bucket{le=\"+Inf\"} 1\nh_seconds_count 2\n",
           histogram + "h_seconds 1\n",
       }) {
    EXPECT_FALSE(ExpositionChecker::mistakes(bad).empty()) << bad;
  }
  EXPECT_THAT(ExpositionChecker::mistakes(
                  histogram + "h_seconds_bucket{i=\"x\",le=\"0.1\"} 1\nh_seconds_bucket{i=\"x\",le=\"+Inf\"} "
                              "2\nh_seconds_sum{i=\"x\"} 1e-3\nh_seconds_count{i=\"x\"} 2\n"),
              IsEmpty());
}

}  // namespace
}  // namespace leadwright
