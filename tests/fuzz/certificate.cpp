// SPDX-License-Identifier: Apache-2.0
// A document that claims to be a certificate: nothing passes for what a key signed that never signed
// anything.
#include "daemon/certificate/envelope.h"
#include "daemon/certificate/slip.h"
#include "daemon/certificate/verify.h"
#include "tests/fuzz/target.h"

namespace leadwright {
namespace {

/// Its secret half was thrown away: whatever fits it is forged.
PublicKey unused_key() {
  static const PublicKey key = public_key_of(new_key().value_or(SigningKey{}));
  return key;
}

void check_document(const std::string& text) {
  const Verification found = verify(text, unused_key());
  promise(found.verdict != Authenticity::good && found.verdict != Authenticity::page_changed,
          "nothing can be forged");
  promise(!found.why.empty(), "a verdict has a reason");
  const auto envelope = envelope_in(text);
  if (!envelope) {
    promise(envelope.error().code == Errc::not_found || envelope.error().code == Errc::bad_input,
            "what can't be read is input");
    return;
  }
  promise(envelope->unsealed.size() == text.size(), "a seal takes the room of its dots");
  if (text.starts_with(slip_start)) return;  // read as a slip, whatever follows it
  promise(found.signed_by == key_id(envelope->key), "a document names the key that it carries");
}

}  // namespace
}  // namespace leadwright

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace leadwright;
  const std::string text(text_of(data, size));
  check_document(text);
  const auto slip = parse_slip(text);
  promise(!slip || (text.starts_with(slip->text) && slip->text.ends_with(slip->key_id)),
          "a slip is taken apart where it says");
  const auto key = parse_public_key(text);
  promise(!key || text.find(text_of(*key)) != std::string::npos, "a key is written one way only");
  return 0;
}
