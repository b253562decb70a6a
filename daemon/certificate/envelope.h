// SPDX-License-Identifier: Apache-2.0
// How a document carries its statement and two signatures: one of the statement, one (the seal) of every byte
// of the document but itself. The seal is why the page needn't be drawn again to be believed: other fonts and
// other versions of the drawing library draw other bytes, so that a redrawn page could not be compared.
// One run of plain characters without brackets or quotes, so that it lies verbatim in a PDF's keywords and in
// an SVG's metadata and is found without understanding either. Pure; any thread.
#pragma once

#include <string>
#include <string_view>

#include "daemon/certificate/signing.h"

namespace leadwright {

/// "leadwright-certificate-1:STATEMENT:PUBLIC KEY:SIGNATURE:SEAL", each base64, with a seal of dots.
std::string unsealed_envelope(const std::string& statement, const SigningKey& key);

/// Puts the seal into a document that holds one unsealed envelope. Fails with bug if it holds none or more.
Result<std::string> sealed(std::string document, const SigningKey& key);

struct SealedEnvelope {
  std::string statement;
  PublicKey key;
  Signature signature{};
  Signature seal{};
  std::string unsealed;  ///< the document with dots for its seal: what the seal is of
};

/// Fails with not_found if the document holds no envelope, with bad_input if it holds several or what is in
/// it can't be read.
Result<SealedEnvelope> envelope_in(std::string_view document);

}  // namespace leadwright
