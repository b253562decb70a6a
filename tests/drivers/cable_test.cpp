// SPDX-License-Identifier: Apache-2.0
// Faults placed exactly on the messages of a line.
#include "drivers/cable.h"

#include <gmock/gmock.h>

#include <array>

#include "world.h"

namespace leadwright {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

std::vector<std::string> pass(Cable& cable, std::string_view message, bool is_question = false) {
  std::vector<Cable::Piece> pieces;
  cable.pass(message, is_question, pieces);
  std::vector<std::string> bytes;
  for (const Cable::Piece& piece : pieces) bytes.push_back(piece.bytes);
  return bytes;
}

TEST(Cable, passes_what_no_fault_strikes) {
  Cable cable;
  EXPECT_TRUE(cable.is_quiet());
  EXPECT_THAT(pass(cable, "1;2\n"), ElementsAre("1;2\n"));
}

TEST(Cable, strikes_the_next_answer_only) {
  Cable cable;
  cable.strike(CableFault::truncated(3));
  EXPECT_THAT(pass(cable, "question", true), ElementsAre("question"));
  EXPECT_THAT(pass(cable, "12.345\n"), ElementsAre("12.3"));
  EXPECT_TRUE(cable.is_quiet());
  EXPECT_THAT(pass(cable, "12.345\n"), ElementsAre("12.345\n"));
}

TEST(Cable, strikes_the_message_it_was_told_to) {
  Cable cable;
  cable.strike(CableFault::lost());
  cable.strike(CableFault::doubled().in_a_row(2).after(2));
  EXPECT_THAT(pass(cable, "a"), IsEmpty());
  EXPECT_THAT(pass(cable, "b"), ElementsAre("b"));
  EXPECT_THAT(pass(cable, "c"), ElementsAre("c", "c"));
  EXPECT_THAT(pass(cable, "d"), ElementsAre("d", "d"));
  EXPECT_THAT(pass(cable, "e"), ElementsAre("e"));
}

TEST(Cable, strikes_questions_where_told_so) {
  Cable cable;
  cable.strike(CableFault::flipped(9).of_questions());
  EXPECT_THAT(pass(cable, "answer"), ElementsAre("answer"));
  EXPECT_THAT(pass(cable, "AAA", true), ElementsAre("ACA"));
}

TEST(Cable, drops_one_byte_wherever_it_stands) {
  Cable cable;
  cable.strike(CableFault::dropped(2));
  cable.strike(CableFault::dropped(7));
  cable.strike(CableFault::dropped(0));
  EXPECT_THAT(pass(cable, "12.345"), ElementsAre("12345"));
  EXPECT_THAT(pass(cable, "12.345"), ElementsAre("1.345"));
  EXPECT_THAT(pass(cable, ""), ElementsAre(""));
}

TEST(Cable, splits_without_losing_a_byte) {
  Cable cable;
  cable.strike(CableFault::split(10, Second(0.01)));
  std::vector<Cable::Piece> pieces;
  cable.pass("0123456789abcdefghi", false, pieces);
  ASSERT_EQ(pieces.size(), 10U);
  std::string whole;
  for (const Cable::Piece& piece : pieces) whole += piece.bytes;
  EXPECT_EQ(whole, "0123456789abcdefghi");
  EXPECT_NEAR(pieces.back().after.si(), 0.09, 1e-12);
}

TEST(Cable, gives_the_same_rubbish_each_time) {
  Cable one;
  Cable other;
  one.strike(CableFault::rubbish(32));
  other.strike(CableFault::rubbish(32));
  const auto first = pass(one, "1\n");
  ASSERT_EQ(first.size(), 1U);
  EXPECT_EQ(first.front().size(), 32U);
  EXPECT_EQ(pass(other, "quite another answer\n"), first);
}

TEST(Cable, goes_on_striking_until_it_is_mended) {
  Cable cable;
  cable.strike(CableFault::lost().in_a_row(0));
  for (int i = 0; i < 20; ++i) EXPECT_THAT(pass(cable, "a"), IsEmpty());
  cable.mend();
  EXPECT_THAT(pass(cable, "a"), ElementsAre("a"));
}

/// Answers each message with itself and a line end.
struct Parrot final : MemoryDevice {
  void receive(std::string_view bytes, MemoryPort& port) override {
    heard.emplace_back(bytes);
    port.deliver(std::string(bytes) + "\n");
  }
  std::vector<std::string> heard;
};

struct CableOfALink : testing::Test {
  VirtualClock clock;
  Parrot parrot;
  MemoryLinkFactory links{clock};

  CableOfALink() { links.add("x", parrot); }
  std::unique_ptr<Link> open() {
    auto link = std::move(*links.make({LinkAddress::Kind::memory, "x"}, {}));
    std::optional<Result<void>> opened;
    const Job job(clock.loop(), keep(link->open(clock.now()), opened));
    opening = *opened;
    return link;
  }
  /// What came back by the end of `time`.
  std::string ask(Link& link, std::string_view message, Second time) {
    std::string answer;
    const Job job(clock.loop(), talk(link, message, clock.now() + time, answer));
    clock.run_for(time);
    return answer;
  }
  static Task<void> talk(Link& link, std::string_view message, Instant until, std::string& answer) {
    co_await link.write(message, until);
    while (true) {
      std::array<char, 4096> piece;
      const Result<std::size_t> count = co_await link.read(piece, until);
      if (!count) co_return;
      answer.append(piece.data(), *count);
    }
  }
  Result<void> opening;
};

TEST_F(CableOfALink, brings_a_late_answer_before_the_one_to_the_next_question) {
  const auto link = open();
  links.cable("x")->strike(CableFault::late(Second(0.5)));
  EXPECT_EQ(ask(*link, "first", Second(0.3)), "");
  EXPECT_EQ(ask(*link, "second", Second(0.19)), "");
  EXPECT_EQ(ask(*link, "third", Second(0.02)), "first\nsecond\nthird\n");
}

TEST_F(CableOfALink, never_ends_an_endless_answer_until_it_is_mended) {
  const auto link = open();
  links.cable("x")->strike(CableFault::endless());
  const std::string answer = ask(*link, "12", Second(10.0));
  EXPECT_GT(answer.size(), 10'000U);
  EXPECT_EQ(answer.find('\n'), std::string::npos);
  links.cable("x")->mend();
  clock.run_for(Second(0.1));
  link->discard_input();
  EXPECT_EQ(ask(*link, "again", Second(1.0)), "again\n");
}

TEST_F(CableOfALink, goes_on_over_a_link_that_is_made_again) {
  auto link = open();
  links.cable("x")->pull();
  EXPECT_FALSE(link->is_open());
  link = open();
  ASSERT_FALSE(opening);
  EXPECT_EQ(opening.error().code, Errc::not_found);
  links.cable("x")->put_back();
  link = open();
  ASSERT_TRUE(opening);
  EXPECT_EQ(ask(*link, "back", Second(0.1)), "back\n");
}

TEST_F(CableOfALink, is_busy_where_somebody_else_has_the_port) {
  links.cable("x")->take();
  auto link = open();
  ASSERT_FALSE(opening);
  EXPECT_EQ(opening.error().code, Errc::busy);
  links.cable("x")->mend();
  link = open();
  EXPECT_TRUE(opening);
}

TEST_F(CableOfALink, strikes_a_question_before_it_reaches_the_device) {
  const auto link = open();
  links.cable("x")->strike(CableFault::lost().of_questions());
  EXPECT_EQ(ask(*link, "a", Second(0.1)), "");
  EXPECT_THAT(parrot.heard, IsEmpty());
  EXPECT_EQ(ask(*link, "b", Second(0.1)), "b\n");
}

TEST_F(CableOfALink, hears_itself_first_where_the_adapter_echoes) {
  FaultPlan plan;
  plan.echo = true;
  links.add("x", parrot, plan);
  const auto link = open();
  EXPECT_EQ(ask(*link, "hi", Second(0.1)), "hihi\n");
}

TEST_F(CableOfALink, knows_no_cable_of_a_name_that_nothing_has) {
  EXPECT_EQ(links.cable("y"), nullptr);
}

}  // namespace
}  // namespace leadwright
