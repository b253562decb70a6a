// SPDX-License-Identifier: Apache-2.0
// Photos in the whole daemon: with the answer to a question, after a restart, and until they are erased.
#include <fmt/format.h>

#include "daemon/store/photo_json.h"
#include "tests/world/extra_procedures.h"
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using namespace std::string_literals;
using testing::ElementsAre;
using testing::HasSubstr;

constexpr const char* looks = R"toml(
[[step]]
name = "look"
do = "ask"
what = "Asks how it looks."
question = "Is it swollen?"
answer = "yes or no"
photo = "optional"
at_most = "1 h"
)toml";

/// A grey square of eight points, by ITU-T T.81.
const std::string picture =
    "\xFF\xD8\xFF\xC0\0\x0B\x08\0\x08\0\x08\x01\x01\x11\0\xFF\xDA\0\x08\x01\x01\0\0\x3F\0\x3F\xFF\xD9"s;

class PhotoTest : public WorldTest {
 protected:
  void SetUp() override {
    procedures.add("own", looks);
    WorldOptions options;
    options.change_settings = [this](Settings& settings) {
      settings.procedures_folder = procedures.folder();
    };
    make_world(std::move(options));
    bring("x", "cell:sound");
    ticket = drop_off("S-1", "flooded", 6, "own");
    carry("x", ticket, bay);
  }
  Response hand_in(const std::string& about = "") {
    return world->ask("ticket.photo", ticket, photo_json({about, picture}));
  }
  std::string stored(int number) { return *world->store().photo(PhotoId{number}); }
  std::vector<std::string> acts() {
    std::vector<std::string> acts;
    const std::vector<AuditEntry> rows = *world->store().audit_of(ticket);
    for (const AuditEntry& row : rows) {
      if (row.what == "ticket.photo" || row.what == "photo.erase") acts.push_back(row.what + ": " + row.why);
    }
    return acts;
  }
  ExtraProcedures procedures;
  std::string ticket;
};

TEST_F(PhotoTest, belongs_to_the_run_that_asks_and_says_what_it_was_asked_for) {
  ASSERT_EQ(hand_in("the label").status, 201);
  world->ask("place.acknowledge", bay, R"({"of":"cautions"})");
  ASSERT_EQ(world->ask("place.start", bay, R"({"procedure":"own"})").status, 202);
  world->clock().run_for(minutes(1.0));
  EXPECT_THAT(world->bench().snapshot(),
              HasSubstr(R"x("text":"Is it swollen? (yes or no)","said":[],"takes_photo":true)x"));
  ASSERT_EQ(hand_in().status, 201);
  const std::vector<Photo>& photos = file(ticket).photos;
  ASSERT_EQ(photos.size(), 2U);
  EXPECT_EQ(photos[0].run, RunId{});
  EXPECT_EQ(photos[0].about, "the label");
  EXPECT_EQ(photos[1].run, world->bench().place(bay)->run()->order().run.id);
  EXPECT_EQ(photos[1].about, "Is it swollen? (yes or no)");
  EXPECT_EQ(photos[1].jpeg, "");
}

TEST_F(PhotoTest, outlives_the_daemon_and_is_gone_for_good_once_it_is_erased) {
  ASSERT_EQ(hand_in("a person").status, 201);
  ASSERT_EQ(hand_in("the label").status, 201);
  world->kill_and_restart();
  EXPECT_EQ(stored(1), picture);
  EXPECT_EQ(world->ask("photo.erase", "H-000001", "{}").status, 400);
  EXPECT_EQ(world->ask("photo.erase", "H-000009", R"({"why":"x"})").status, 404);
  const Response erased = world->ask("photo.erase", "H-000001", R"({"why":"it shows a person"})");
  ASSERT_EQ(erased.status, 200) << erased.body;
  EXPECT_EQ(world->ask("photo.erase", "H-000001", R"({"why":"again"})").status, 409);
  EXPECT_EQ(stored(1), "");
  EXPECT_EQ(stored(2), picture);
  world->kill_and_restart();
  EXPECT_EQ(file(ticket).photos.at(0).bytes, 0);
  EXPECT_EQ(file(ticket).photos.at(0).about, "");
  EXPECT_EQ(world->ask("ticket.photo", ticket, photo_json({"", picture})).status, 201);
  EXPECT_EQ(shown(file(ticket).photos.back().id), "H-000003");
  EXPECT_THAT(acts(), ElementsAre("ticket.photo: H-000001", "ticket.photo: H-000002",
                                  "photo.erase: H-000001: it shows a person", "ticket.photo: H-000003"));
}

TEST_F(PhotoTest, is_refused_where_there_are_enough_of_them) {
  for (std::size_t i = 0; i < Photo::of_a_ticket_max; ++i) ASSERT_EQ(hand_in().status, 201);
  const Response refused = hand_in();
  EXPECT_EQ(refused.status, 409) << refused.body;
  ASSERT_EQ(world->ask("photo.erase", "H-000005", R"({"why":"blurred"})").status, 200);
  EXPECT_EQ(hand_in().status, 201);
}

}  // namespace
}  // namespace leadwright
