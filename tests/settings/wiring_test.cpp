// SPDX-License-Identifier: Apache-2.0
// Boxes, shared instruments and the contacts of places, as the configuration names them.
#include "settings_fixture.h"

namespace leadwright {
namespace {

using ::testing::HasSubstr;

using WiringTest = SettingsTest;

constexpr const char* switchgear = R"([[box]]
name = "box-1"
profile = "a_box"
link = "tcp:127.0.0.1:502"
siren = 7
[[box.input]]
number = 0
means = "stop"
[[box.input]]
number = 1
means = "smoke"
well = "open"
[[shared]]
name = "load-1"
profile = "a_load"
link = "tcp:127.0.0.1:5026"
[[place]]
name = "bay-2"
kind = "bay"
isolator = { box = "box-1", output = 0, mirror = 8 }
load = { shared = "load-1", box = "box-1", output = 1 }
)";

/// A good bench with one word of its switchgear replaced.
std::string with_switchgear(const std::string& from = "", const std::string& to = "") {
  std::string text = switchgear;
  if (!from.empty()) text.replace(text.find(from), from.size(), to);
  return good_settings + text;
}

TEST_F(WiringTest, reads_boxes_shared_instruments_and_the_contacts_of_places) {
  const Settings settings = read(with_switchgear());
  ASSERT_EQ(settings.boxes.size(), 1U);
  EXPECT_EQ(settings.boxes[0].siren, 7);
  ASSERT_EQ(settings.boxes[0].inputs.size(), 2U);
  EXPECT_TRUE(settings.boxes[0].inputs[0].closed_is_well)
      << "a broken wire is an alarm unless it says otherwise";
  EXPECT_FALSE(settings.boxes[0].inputs[1].closed_is_well);
  const PlaceSettings& bay = settings.places.back();
  ASSERT_TRUE(bay.isolator);
  EXPECT_EQ(bay.isolator->mirror, 8);
  ASSERT_TRUE(bay.shared_load);
  EXPECT_EQ(bay.shared_load->shared, "load-1");
  EXPECT_EQ(bay.shared_load->contact.output, 1);
  EXPECT_FALSE(bay.load);
}

TEST_F(WiringTest, refuses_switchgear_that_can_not_be) {
  const auto first = [this](const std::string& from, const std::string& to) {
    return mistakes(with_switchgear(from, to)).front();
  };
  EXPECT_THAT(first(R"(shared = "load-1", box)", R"(shared = "load-9", box)"),
              HasSubstr("no shared instrument \"load-9\""));
  EXPECT_THAT(first(R"(box = "box-1", output = 0)", R"(box = "box-3", output = 0)"),
              HasSubstr("no box \"box-3\""));
  EXPECT_THAT(first("output = 1", "output = 0"), HasSubstr("box-1 output 0 does something else already"));
  EXPECT_THAT(first("output = 1", "output = 7"), HasSubstr("box-1 output 7 does something else already"));
  EXPECT_THAT(first("output = 1", "output = 32"), HasSubstr("no such number"));
  EXPECT_THAT(first("\"smoke\"", "\"steam\""), HasSubstr("unknown meaning \"steam\""));
  EXPECT_THAT(first("well = \"open\"", "well = \"ajar\""), HasSubstr("unknown state of a contact"));
  EXPECT_THAT(first(R"(name = "load-1")", R"(name = "bay-1")"), HasSubstr("is called \"bay-1\""));
}

TEST_F(WiringTest, takes_the_last_day_of_a_calibration_and_nothing_else_for_it) {
  const std::string link = "link = \"tcp:127.0.0.1:5026\"";
  const auto with_due = [&](const std::string& due) {
    return with_switchgear(link, link + "\ncalibration_due = \"" + due + "\"");
  };
  EXPECT_EQ(read(with_due("2027-03-01")).shared[0].instrument.calibration_due, "2027-03-01");
  for (const char* wrong : {"2027-03", "2027-02-30", "soon", "2027-03-01T00:00:00Z"})
    EXPECT_THAT(mistakes(with_due(wrong)).front(), HasSubstr("is not a day")) << wrong;
}

}  // namespace
}  // namespace leadwright
