// SPDX-License-Identifier: Apache-2.0
#include "daemon/certificate/verify.h"

#include "daemon/certificate/envelope.h"
#include "daemon/certificate/slip.h"

namespace leadwright {
namespace {

constexpr const char* altered_words =
    "The signature does not fit: something in it was changed after it was signed. Believe nothing in it.";

std::string foreign_words(const std::string& by, const PublicKey& wanted, bool fits_its_own) {
  std::string text = "It is not signed by the key that you named (" + key_id(wanted) + ") but by " + by;
  return text.append(
      fits_its_own ? ", which it carries itself: that proves that nobody changed it, and not who made it."
                   : ", and does not fit that one either.");
}

Verification verify_slip(std::string_view text, const PublicKey& key) {
  const auto slip = parse_slip(text);
  if (!slip) return {Authenticity::unreadable, slip.error().what + ": " + slip.error().mend, "", ""};
  if (slip->key_id != key_id(key)) {
    return {Authenticity::foreign,
            "It is not signed by the key that you named (" + key_id(key) + ") but, as it says, by " +
                slip->key_id + ".",
            slip->text, slip->key_id};
  }
  if (!fits(key, Signed::slip, slip->text, slip->signature))
    return {Authenticity::altered, altered_words, slip->text, slip->key_id};
  return {Authenticity::good,
          "The line of the code is as the bench signed it. Compare it with the sheet: it speaks for itself "
          "alone, not for what is printed around it.",
          slip->text, slip->key_id};
}

}  // namespace

const char* word(Authenticity verdict) {
  switch (verdict) {
    case Authenticity::good:
      return "good";
    case Authenticity::page_changed:
      return "page changed";
    case Authenticity::altered:
      return "altered";
    case Authenticity::foreign:
      return "foreign";
    case Authenticity::unreadable:
      return "unreadable";
  }
  return "";
}

Verification verify(std::string_view document, const PublicKey& key) {
  if (document.starts_with(slip_start)) return verify_slip(document, key);
  const auto found = envelope_in(document);
  if (!found) return {Authenticity::unreadable, found.error().what + ".", "", ""};
  const std::string by = key_id(found->key);
  const bool is_whole = fits(found->key, Signed::statement, found->statement, found->signature);
  if (found->key != key)
    return {Authenticity::foreign, foreign_words(by, key, is_whole), found->statement, by};
  if (!is_whole) return {Authenticity::altered, altered_words, found->statement, by};
  if (!fits(key, Signed::document, found->unsealed, found->seal)) {
    return {
        Authenticity::page_changed,
        "The statement is as the bench signed it, but the document around it was changed, or saved anew by "
        "another program. Believe the statement, not the page.",
        found->statement, by};
  }
  return {Authenticity::good,
          "The statement and every byte of the page around it are as the bench signed them.",
          found->statement, by};
}

}  // namespace leadwright
