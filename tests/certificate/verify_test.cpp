// SPDX-License-Identifier: Apache-2.0
// A good, an altered and a foreign document; and that no single bit can be changed unseen.
#include "daemon/certificate/verify.h"

#include <gmock/gmock.h>

#include "daemon/certificate/document.h"
#include "daemon/certificate/envelope.h"
#include "daemon/certificate/slip.h"
#include "daemon/certificate/statement.h"
#include "tests/certificate/example_certificate.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

constexpr Drawing both[] = {Drawing::pdf, Drawing::svg};
/// So many flips are tried in a drawn page, evenly spread.
constexpr std::size_t page_flips = 150;

std::string drawn_by(unsigned char key, Drawing drawing) {
  auto document = certificate_document(example_certificate(), example_key(key), drawing, Paper::a4);
  EXPECT_TRUE(document) << document.error().line();
  return document.value_or("");
}

PublicKey public_key(unsigned char key = 1) {
  return public_key_of(example_key(key));
}

/// A small file of the same make: an envelope with something around it.
std::string small_document(const std::string& text) {
  return *sealed("before (" + unsealed_envelope(text, example_key()) + ") behind", example_key());
}

TEST(Verify, finds_a_document_good_as_it_was_written) {
  for (const Drawing drawing : both) {
    const Verification found = verify(drawn_by(1, drawing), public_key());
    EXPECT_EQ(found.verdict, Authenticity::good) << found.why;
    EXPECT_EQ(found.statement, statement(example_certificate()));
    EXPECT_EQ(found.signed_by, key_id(public_key()));
  }
}

TEST(Verify, tells_a_document_of_another_key) {
  for (const Drawing drawing : both) {
    const Verification found = verify(drawn_by(2, drawing), public_key());
    EXPECT_EQ(found.verdict, Authenticity::foreign);
    EXPECT_THAT(found.why, HasSubstr(key_id(public_key(2))));
  }
}

TEST(Verify, tells_a_statement_that_was_replaced_under_the_old_signature) {
  const std::string was = small_document("grade: D\n");
  const std::string other = small_document("grade: A\n");
  const auto envelope = envelope_in(other);
  ASSERT_TRUE(envelope);
  std::string forged = was;
  forged.replace(forged.find(base64("grade: D\n")), base64("grade: D\n").size(), base64("grade: A\n"));
  EXPECT_EQ(verify(forged, public_key()).verdict, Authenticity::altered);
}

TEST(Verify, tells_a_page_that_was_redrawn_around_a_genuine_statement) {
  for (const Drawing drawing : both) {
    std::string document = drawn_by(1, drawing);
    document.back() = document.back() == '\n' ? ' ' : '\n';
    const Verification found = verify(document, public_key());
    EXPECT_EQ(found.verdict, Authenticity::page_changed);
    EXPECT_EQ(found.statement, statement(example_certificate()));
    EXPECT_EQ(verify(document + " ", public_key()).verdict, Authenticity::page_changed);
  }
}

TEST(Verify, sees_every_flipped_bit_of_a_small_document) {
  const std::string document = small_document(
      "Leadwright certificate statement, version 1\nticket: T-000001-3\ngrade: D, worn\nreserve capacity: 41 "
      "min\n");
  ASSERT_EQ(verify(document, public_key()).verdict, Authenticity::good);
  for (std::size_t at = 0; at < document.size(); ++at) {
    for (unsigned bit = 0; bit < 8; ++bit) {
      std::string changed = document;
      changed[at] = static_cast<char>(static_cast<unsigned char>(changed[at]) ^ (1U << bit));
      ASSERT_NE(verify(changed, public_key()).verdict, Authenticity::good)
          << "byte " << at << ", bit " << bit;
    }
  }
}

TEST(Verify, sees_every_flipped_bit_of_a_statement_and_its_signature) {
  const std::string text = statement(example_certificate()).substr(0, 400);
  const Signature signature = sign(example_key(), Signed::statement, text);
  ASSERT_TRUE(fits(public_key(), Signed::statement, text, signature));
  for (std::size_t at = 0; at < 8 * text.size(); ++at) {
    std::string changed = text;
    changed[at / 8] = static_cast<char>(static_cast<unsigned char>(changed[at / 8]) ^ (1U << at % 8));
    ASSERT_FALSE(fits(public_key(), Signed::statement, changed, signature)) << "bit " << at;
  }
  for (std::size_t at = 0; at < 8 * signature.size(); ++at) {
    Signature changed = signature;
    changed[at / 8] = static_cast<unsigned char>(changed[at / 8] ^ (1U << at % 8));
    ASSERT_FALSE(fits(public_key(), Signed::statement, text, changed)) << "bit " << at;
  }
}

TEST(Verify, sees_flipped_bits_all_over_a_drawn_page) {
  for (const Drawing drawing : both) {
    const std::string document = drawn_by(1, drawing);
    for (std::size_t at = 0; at < document.size(); at += document.size() / page_flips) {
      std::string changed = document;
      changed[at] = static_cast<char>(changed[at] ^ 1);
      ASSERT_NE(verify(changed, public_key()).verdict, Authenticity::good) << "byte " << at;
    }
  }
}

TEST(Verify, takes_no_signature_of_one_kind_for_another) {
  const Signature signature = sign(example_key(), Signed::slip, "text");
  EXPECT_FALSE(fits(public_key(), Signed::statement, "text", signature));
  EXPECT_FALSE(fits(public_key(), Signed::document, "text", signature));
}

TEST(Verify, finds_nothing_in_a_document_without_a_statement_or_with_two) {
  EXPECT_EQ(verify("", public_key()).verdict, Authenticity::unreadable);
  EXPECT_EQ(verify("%PDF-1.5 something else", public_key()).verdict, Authenticity::unreadable);
  const std::string document = small_document("grade: A\n");
  EXPECT_EQ(verify(document + document, public_key()).verdict, Authenticity::unreadable);
}

TEST(Verify, takes_the_line_of_the_square_code_by_itself) {
  const std::string line = slip(example_certificate(), example_key());
  EXPECT_THAT(line, HasSubstr("SIMULATED, grade B, reserve capacity 96.4 +- 3.0 min"));
  EXPECT_EQ(verify(line + "\n", public_key()).verdict, Authenticity::good);
  EXPECT_EQ(verify(line, public_key(2)).verdict, Authenticity::foreign);
  std::string changed = line;
  changed.replace(changed.find("grade B"), 7, "grade A");
  EXPECT_EQ(verify(changed, public_key()).verdict, Authenticity::altered);
  EXPECT_EQ(verify(line.substr(0, 80), public_key()).verdict, Authenticity::unreadable);
}

TEST(Verify, sees_every_flipped_bit_of_a_slip) {
  const std::string line = slip(example_certificate(), example_key());
  for (std::size_t at = 0; at < 8 * line.size(); ++at) {
    std::string changed = line;
    changed[at / 8] = static_cast<char>(static_cast<unsigned char>(changed[at / 8]) ^ (1U << at % 8));
    ASSERT_NE(verify(changed, public_key()).verdict, Authenticity::good) << "bit " << at;
  }
}

TEST(PublicKeyText, is_read_as_it_was_written_and_nothing_else_is) {
  const std::string text = text_of(public_key());
  EXPECT_EQ(parse_public_key(" " + text + "\n").value_or(PublicKey{}), public_key());
  EXPECT_FALSE(parse_public_key(text.substr(0, text.size() - 1)));
  EXPECT_FALSE(parse_public_key("leadwright-public-key-1 "));
  EXPECT_FALSE(parse_public_key(""));
}

}  // namespace
}  // namespace leadwright
