// SPDX-License-Identifier: Apache-2.0
// Is this document, or this line from a square code, what the bench with this key signed? Offline: needs
// nothing but the bytes and the public key. Pure; any thread.
#pragma once

#include <string>
#include <string_view>

#include "daemon/certificate/signing.h"

namespace leadwright {

enum class Authenticity {
  good,          ///< statement and every other byte are as they were signed
  page_changed,  ///< the statement is genuine, the document around it was changed or saved anew
  altered,       ///< the signature does not fit the statement
  foreign,       ///< signed by another key, or by nobody
  unreadable,    ///< it holds no statement, several, or a damaged one
};
const char* word(Authenticity verdict);  ///< "page changed"

struct Verification {
  Authenticity verdict = Authenticity::unreadable;
  std::string why;        ///< one or two sentences for a person
  std::string statement;  ///< what can be believed if good or page_changed, else what it claims; may be empty
  std::string signed_by;  ///< id of the key that it names; empty if it names none
};

/// `document` is a PDF or SVG as the bench wrote it, or the text of its square code.
Verification verify(std::string_view document, const PublicKey& key);

}  // namespace leadwright
