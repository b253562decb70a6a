// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/people.h"

#include <gmock/gmock.h>

namespace leadwright {
namespace {

using testing::IsEmpty;
using testing::SizeIs;

TEST(People, are_codes_that_are_read_back_as_they_are_shown) {
  EXPECT_EQ(shown(PersonId{7}), "P-7");
  EXPECT_EQ(parse_person_id("P-7").value(), PersonId{7});
  for (const char* no : {"", "P-", "P-0", "P-07", "P--7", "p-7", "P-7 ", "7", "P-99999999999999999999"})
    EXPECT_FALSE(parse_person_id(no)) << no;
}

TEST(People, keep_their_code_from_the_page_and_from_the_client_whatever_the_capitals) {
  PersonBook people;
  EXPECT_EQ(people.coded("page: Ana, unverified"), "page: P-1, unverified");
  for (const char* same : {"ana", "ANA", "ana"}) EXPECT_EQ(people.coded(same), "P-1");
  EXPECT_EQ(people.coded(" Ana "), " P-1 ");
  EXPECT_EQ(people.coded("bob"), "P-2");
  EXPECT_EQ(people.find(PersonId{1})->name, "Ana");
}

TEST(People, behind_an_actor_are_the_holder_of_a_token_or_else_the_name_that_was_typed) {
  EXPECT_EQ(person_of("page: Bob, unverified (token Ana-1)"), "Ana-1");
  EXPECT_EQ(person_of("bob (token carol) (token ana-1)"), "ana-1");
  EXPECT_EQ(person_of("ana-1"), "ana-1");
  PersonBook people;
  EXPECT_EQ(people.coded("page: Bob, unverified (token Ana-1)"), "page: P-1, unverified (token P-2)");
  EXPECT_EQ(person_of(people.coded("ana (token ANA-1)")), "P-2");
  EXPECT_EQ(person_words(people.coded("bob")), "person P-1");
}

TEST(People, who_call_themselves_a_code_get_one_of_their_own) {
  PersonBook people;
  EXPECT_EQ(people.coded("ana"), "P-1");
  EXPECT_EQ(people.coded("P-1"), "P-2");
  EXPECT_EQ(people.coded(""), "");
  EXPECT_EQ(people.code_of(""), "");
}

TEST(People, of_whom_no_batch_says_anything_are_forgotten_and_their_code_is_given_to_the_next) {
  PersonBook people;
  EXPECT_EQ(people.coded("ana"), "P-1");
  EXPECT_THAT(people.unstored(), SizeIs(1));
  EXPECT_EQ(people.coded("bob"), "P-2");
  people.forget_unused();
  EXPECT_EQ(people.find(PersonId{2}), nullptr);
  EXPECT_EQ(people.coded("carol"), "P-2");
  EXPECT_EQ(people.coded("ana"), "P-1");
}

TEST(People, go_with_every_batch_until_one_of_them_is_stored) {
  PersonBook people;
  people.coded("ana");
  EXPECT_THAT(people.unstored(), SizeIs(1));
  const std::vector<Person> with_the_next = people.unstored();
  EXPECT_THAT(with_the_next, SizeIs(1));
  people.stored(with_the_next);
  EXPECT_THAT(people.unstored(), IsEmpty());
}

TEST(People, whose_name_was_erased_have_none_and_come_back_as_somebody_else) {
  PersonBook people;
  people.load({{PersonId{1}, "ana"}, {PersonId{4}, "bob"}});
  const auto erased = people.erase(PersonId{1});
  ASSERT_TRUE(erased);
  EXPECT_TRUE(erased->is_erased());
  EXPECT_EQ(erased->codes_then, 4);
  EXPECT_EQ(people.erase(PersonId{1}).error().code, Errc::conflict);
  EXPECT_EQ(people.erase(PersonId{9}).error().code, Errc::not_found);
  EXPECT_EQ(people.coded("ana"), "P-5");
  EXPECT_EQ(people.coded("Bob"), "P-4");
}

TEST(People, can_be_told_apart_by_their_codes_unless_one_came_after_the_other_was_erased) {
  PersonBook people;
  people.load({{PersonId{1}, "ana"}, {PersonId{2}, "bob"}, {PersonId{3}, "", 3}});
  const std::string later = people.code_of("carol");
  EXPECT_TRUE(people.may_be_one_person("P-1", "P-1"));
  EXPECT_FALSE(people.may_be_one_person("P-1", "P-2"));
  EXPECT_FALSE(people.may_be_one_person("P-1", "P-3"));
  EXPECT_TRUE(people.may_be_one_person("P-3", later));
  EXPECT_TRUE(people.may_be_one_person(later, "P-3"));
  EXPECT_TRUE(people.may_be_one_person("P-1", "P-77")) << "nobody knows who that is";
}

}  // namespace
}  // namespace leadwright
