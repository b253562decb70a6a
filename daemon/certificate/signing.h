// SPDX-License-Identifier: Apache-2.0
// Ed25519 keys and signatures. What a signature is for is signed with it, so that one never passes for
// another. Pure but for new_key, which takes randomness from the system; any thread.
#pragma once

#include <array>
#include <string>
#include <string_view>

#include "protocol/result.h"

namespace leadwright {

struct PublicKey {
  std::array<unsigned char, 32> bytes{};
  auto operator<=>(const PublicKey&) const = default;
};

/// Secret: whoever has it can sign certificates in the name of the bench.
struct SigningKey {
  std::array<unsigned char, 64> bytes{};
};

using Signature = std::array<unsigned char, 64>;

/// What was signed: the statement, the short text of the code, or the bytes of the whole document.
enum class Signed { statement, slip, document };

/// Fails with bug if the system gives no randomness.
Result<SigningKey> new_key();
PublicKey public_key_of(const SigningKey& key);
/// First 16 hex digits of the key's BLAKE2b-256: enough to tell keys apart, and short enough for a label.
std::string key_id(const PublicKey& key);

Signature sign(const SigningKey& key, Signed what, std::string_view bytes);
bool fits(const PublicKey& key, Signed what, std::string_view bytes, const Signature& signature);

/// "leadwright-public-key-1 BASE64", one line without its end; parse accepts white space around it.
/// Fails with bad_input.
std::string text_of(const PublicKey& key);
Result<PublicKey> parse_public_key(std::string_view text);

/// URL-safe base64 without padding; decode accepts nothing else and fails with bad_input.
std::string base64(std::string_view bytes);
std::string base64(const Signature& signature);
Result<std::string> from_base64(std::string_view text);
Result<Signature> signature_from_base64(std::string_view text);

}  // namespace leadwright
