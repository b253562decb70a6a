// SPDX-License-Identifier: Apache-2.0
// The console against simulated instruments.
#include "tools/client/instrument/talk.h"

#include <gmock/gmock.h>

#include "sim_lines.h"

namespace leadwright {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using Kind = TalkReply::Kind;

struct TalkTest : SimLines {
  Profile profile = shipped_profile("simulated_load");
  std::unique_ptr<Link> link;
  std::unique_ptr<Talk> talk;

  void open(const LinkAddress& address, bool has_profile) {
    link = std::move(*links.make(address, {}));
    talk = std::make_unique<Talk>(*link, address.kind, clock, has_profile ? &profile : nullptr, Second(2.0));
    const auto opened = run(talk->open());
    ASSERT_TRUE(opened) << opened.error().line();
  }
  TalkReply say(const std::string& line) {
    const auto reply = run(talk->say(line));
    return reply ? *reply : TalkReply{Kind::refused, "failed: " + reply.error().line(), Second(0.0)};
  }
};

TEST_F(TalkTest, shows_answers_with_their_time) {
  open(load, false);
  const TalkReply reply = say("*IDN?");
  EXPECT_EQ(reply.kind, Kind::answered);
  EXPECT_EQ(reply.text, "Leadwright,simulated load,bay-1.load,sim-1");
  EXPECT_NEAR(reply.took.si(), 0.004, 1e-6);
  EXPECT_EQ(show_reply(reply, Second(2.0)), "< Leadwright,simulated load,bay-1.load,sim-1    4.0 ms");
}

TEST_F(TalkTest, refuses_to_energise_and_sends_nothing_of_the_line) {
  open(fake, false);
  device.heard.clear();
  for (const char* line : {"INP ON", "CURR 5", "*IDN?;INP ON", "INP OFF"})
    EXPECT_EQ(say(line).kind, Kind::refused) << line;
  EXPECT_THAT(device.heard, IsEmpty());
  EXPECT_THAT(show_reply(say("INP ON"), Second(2.0)), HasSubstr("refused: INP ON is a command"));
}

TEST_F(TalkTest, sends_the_safe_words_first_if_it_has_a_profile) {
  tell_bench("plug bay-1 cell:sound,charged=1");
  ask_directly("bay-1.load", "CURR 5;:INP ON");
  open(load, true);
  EXPECT_EQ(ask_directly("bay-1.load", "INP?;:CURR?"), "0;0.000\n");
  EXPECT_EQ(say("inp off").kind, Kind::sent);
}

TEST_F(TalkTest, leaves_an_instrument_without_a_profile_as_it_is) {
  tell_bench("plug bay-1 cell:sound,charged=1");
  ask_directly("bay-1.load", "CURR 5;:INP ON");
  open(load, false);
  EXPECT_TRUE(talk->off_now());
  EXPECT_TRUE(run(talk->prove_off()));
  EXPECT_EQ(ask_directly("bay-1.load", "INP?"), "1\n");
}

TEST_F(TalkTest, carries_out_nothing_that_was_left_half_sent) {
  tell_bench("plug bay-1 cell:sound,charged=1");
  std::string none;
  bench.instrument("bay-1.load")->exchange("CURR 5;:INP ON", none);
  open(load, false);
  EXPECT_EQ(say("INP?").kind, Kind::silent);
  EXPECT_EQ(say("INP?").text, "0");
}

TEST_F(TalkTest, says_goodbye_with_the_safe_words_and_reads_them_back) {
  open(load, true);
  ask_directly("bay-1.load", "CURR 5;:INP ON");
  EXPECT_TRUE(talk->off_now());
  EXPECT_EQ(ask_directly("bay-1.load", "INP?"), "0\n");
  EXPECT_TRUE(run(talk->prove_off()));
  ask_directly("bay-1.load", "INP ON");
  const auto off = run(talk->prove_off());
  ASSERT_FALSE(off);
  EXPECT_EQ(off.error().code, Errc::not_verified);
}

TEST_F(TalkTest, sends_the_safe_words_while_an_answer_is_pending) {
  open(fake, true);
  device.answer_delays["*IDN?"] = Second(1.0);
  std::optional<Result<TalkReply>> result;
  {
    const Job job(clock.loop(), keep(talk->say("*IDN?"), result));
    clock.run_for(Second(0.1));
    device.heard.clear();
    EXPECT_TRUE(talk->off_now());
    EXPECT_THAT(device.heard, ElementsAre("INP OFF", "CURR 0"));
  }
  EXPECT_FALSE(result);
}

TEST_F(TalkTest, goes_on_after_silence_and_never_pairs_a_late_answer_with_the_next_question) {
  open(fake, false);
  device.answer_delays["*IDN?"] = Second(2.02);
  EXPECT_EQ(say("*IDN?").kind, Kind::silent);
  const TalkReply reply = say("INP?");
  EXPECT_EQ(reply.kind, Kind::answered);
  EXPECT_EQ(reply.text, "1");
}

TEST_F(TalkTest, shows_every_line_of_an_answer_and_bytes_that_are_no_text) {
  open(fake, false);
  device.answers["A?;B?"] = "1\r\n2\r";
  EXPECT_EQ(say("A?;B?").text, "1\\r\\n2");
  device.answers["C?"] = "\x01\xFF";
  EXPECT_EQ(say("C?").text, "hex 01 FF");
}

TEST_F(TalkTest, keeps_the_gap_of_the_profile) {
  profile.link.gap = Second(0.5);
  open(load, true);
  say("*IDN?");
  const Instant before = clock.now();
  say("*IDN?");
  EXPECT_GE(clock.now() - before, Second(0.49));
}

TEST_F(TalkTest, fails_when_the_line_is_lost) {
  open(fake, false);
  link->close();
  const auto reply = run(talk->say("*IDN?"));
  ASSERT_FALSE(reply);
  EXPECT_EQ(reply.error().code, Errc::link_lost);
}

TEST(TalkReplies, become_json) {
  EXPECT_EQ(reply_json("*IDN?", {Kind::answered, "A,B,1,2", Second(0.0032)}),
            R"({"line":"*IDN?","reply":"answered","text":"A,B,1,2","took_ms":3.2E0})");
  EXPECT_EQ(reply_json("INP ON", {Kind::refused, "no", Second(0.0)}),
            R"({"line":"INP ON","reply":"refused","text":"no","took_ms":null})");
}

}  // namespace
}  // namespace leadwright
