// SPDX-License-Identifier: Apache-2.0
#include "daemon/certificate/signing.h"

#include <sodium.h>

#include <algorithm>
#include <vector>

#include "daemon/battery/content_hash.h"
#include "protocol/utf8.h"

namespace leadwright {
namespace {

constexpr std::string_view public_key_prefix = "leadwright-public-key-1 ";
constexpr std::size_t key_id_digits = 16;

std::string_view bytes_of(const unsigned char* bytes, std::size_t size) {
  return {reinterpret_cast<const char*>(bytes), size};
}

const unsigned char* unsigned_bytes(std::string_view bytes) {
  return reinterpret_cast<const unsigned char*>(bytes.data());
}

std::string with_purpose(Signed what, std::string_view bytes) {
  std::string all = what == Signed::statement ? "leadwright signs a statement 1\n"
                    : what == Signed::slip    ? "leadwright signs a slip 1\n"
                                              : "leadwright signs a document 1\n";
  return all.append(bytes);
}

template <std::size_t Size>
Result<std::array<unsigned char, Size>> exactly(std::string_view text, const char* what) {
  auto decoded = from_base64(text);
  std::array<unsigned char, Size> bytes{};
  if (!decoded || decoded->size() != Size) return fail(Errc::bad_input, std::string("this is no ") + what);
  std::ranges::copy(*decoded, bytes.begin());
  return bytes;
}

}  // namespace

Result<SigningKey> new_key() {
  if (sodium_init() < 0) return fail(Errc::bug, "the system gives no randomness for a key");
  SigningKey key;
  PublicKey unused;
  crypto_sign_keypair(unused.bytes.data(), key.bytes.data());
  return key;
}

PublicKey public_key_of(const SigningKey& key) {
  PublicKey open;
  crypto_sign_ed25519_sk_to_pk(open.bytes.data(), key.bytes.data());
  return open;
}

std::string key_id(const PublicKey& key) {
  return content_hash(bytes_of(key.bytes.data(), key.bytes.size())).substr(0, key_id_digits);
}

Signature sign(const SigningKey& key, Signed what, std::string_view bytes) {
  const std::string message = with_purpose(what, bytes);
  Signature signature{};
  crypto_sign_detached(signature.data(), nullptr, unsigned_bytes(message), message.size(), key.bytes.data());
  return signature;
}

bool fits(const PublicKey& key, Signed what, std::string_view bytes, const Signature& signature) {
  const std::string message = with_purpose(what, bytes);
  return crypto_sign_verify_detached(signature.data(), unsigned_bytes(message), message.size(),
                                     key.bytes.data()) == 0;
}

std::string text_of(const PublicKey& key) {
  return std::string(public_key_prefix).append(base64(bytes_of(key.bytes.data(), key.bytes.size())));
}

Result<PublicKey> parse_public_key(std::string_view text) {
  text = trimmed(text);
  if (text.starts_with(public_key_prefix)) {
    auto bytes = exactly<32>(text.substr(public_key_prefix.size()), "public key");
    if (bytes) return PublicKey{*bytes};
  }
  return fail(Errc::bad_input, "this is no public key of a bench", "--key",
              "on the bench: leadwright certificate key > bench.key");
}

std::string base64(std::string_view bytes) {
  constexpr int variant = sodium_base64_VARIANT_URLSAFE_NO_PADDING;
  std::string text(sodium_base64_encoded_len(bytes.size(), variant), '\0');
  sodium_bin2base64(text.data(), text.size(), unsigned_bytes(bytes), bytes.size(), variant);
  text.pop_back();
  return text;
}

std::string base64(const Signature& signature) {
  return base64(bytes_of(signature.data(), signature.size()));
}

Result<std::string> from_base64(std::string_view text) {
  std::string bytes(text.size(), '\0');
  std::size_t size = 0;
  const char* end = nullptr;
  const int failed =
      sodium_base642bin(reinterpret_cast<unsigned char*>(bytes.data()), bytes.size(), text.data(),
                        text.size(), nullptr, &size, &end, sodium_base64_VARIANT_URLSAFE_NO_PADDING);
  if (failed != 0 || end != text.data() + text.size()) return fail(Errc::bad_input, "this is no base64");
  bytes.resize(size);
  // libsodium 1.0.18 takes some bytes above 127 for digits: only what it would write itself is accepted.
  if (base64(bytes) != text) return fail(Errc::bad_input, "this is no base64");
  return bytes;
}

Result<Signature> signature_from_base64(std::string_view text) {
  return exactly<64>(text, "signature");
}

}  // namespace leadwright
