// SPDX-License-Identifier: Apache-2.0
#include <gmock/gmock.h>

#include "protocol/text_file.h"
#include "tools/client/grade_examples.h"

namespace leadwright {
namespace {

TEST(GradingsPage, is_what_the_program_says) {
  const auto page = gradings_page(LEADWRIGHT_SOURCE_DIR "/config/policies");
  ASSERT_TRUE(page) << page.error().line();
  const auto stored = read_text_file(LEADWRIGHT_SOURCE_DIR "/config/gradings.md");
  ASSERT_TRUE(stored) << "write it: leadwright grade examples > config/gradings.md";
  EXPECT_EQ(*page, *stored) << "write it anew: leadwright grade examples > config/gradings.md";
}

TEST(GradingsPage, needs_the_shipped_policies) {
  EXPECT_FALSE(gradings_page("/nowhere"));
}

}  // namespace
}  // namespace leadwright
