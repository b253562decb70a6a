// SPDX-License-Identifier: Apache-2.0
#include "daemon/certificate/envelope.h"

#include <algorithm>
#include <vector>

namespace leadwright {
namespace {

constexpr std::string_view marker = "leadwright-certificate-1:";
/// Of 64 bytes in base64 without padding.
constexpr std::size_t seal_size = 86;
constexpr std::size_t parts_count = 4;

/// Base64 and dots: what an envelope consists of between its colons.
bool is_envelope_character(char c) {
  return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-' || c == '_' ||
         c == '.' || c == ':';
}

struct EnvelopeSpan {
  std::size_t first = 0;  ///< behind the marker
  std::size_t last = 0;   ///< one past the seal
};

Result<EnvelopeSpan> span_in(std::string_view document) {
  const auto at = document.find(marker);
  if (at == std::string_view::npos) {
    return fail(Errc::not_found, "there is no statement of a certificate in it", "",
                "verify the file as the bench wrote it; a scan or a print has only its square code");
  }
  if (document.find(marker, at + 1) != std::string_view::npos) {
    return fail(Errc::bad_input, "there are several statements in it, of which one may hide the other");
  }
  EnvelopeSpan span{at + marker.size(), at + marker.size()};
  while (span.last < document.size() && is_envelope_character(document[span.last])) ++span.last;
  return span;
}

std::vector<std::string_view> parts_of(std::string_view text) {
  std::vector<std::string_view> parts;
  for (std::size_t from = 0; from <= text.size();) {
    const auto to = std::min(text.find(':', from), text.size());
    parts.push_back(text.substr(from, to - from));
    from = to + 1;
  }
  return parts;
}

std::string plain(const PublicKey& key) {
  return {reinterpret_cast<const char*>(key.bytes.data()), key.bytes.size()};
}

}  // namespace

std::string unsealed_envelope(const std::string& statement, const SigningKey& key) {
  std::string text(marker);
  text.append(base64(statement)).append(":").append(base64(plain(public_key_of(key)))).append(":");
  text.append(base64(sign(key, Signed::statement, statement))).append(":");
  return text.append(seal_size, '.');
}

Result<std::string> sealed(std::string document, const SigningKey& key) {
  const auto span = span_in(document);
  if (!span || span->last - span->first < seal_size ||
      document.find_first_not_of('.', span->last - seal_size) < span->last) {
    return fail(Errc::bug, "the drawn document has no room for its seal");
  }
  const std::string seal = base64(sign(key, Signed::document, document));
  return document.replace(span->last - seal_size, seal_size, seal);
}

Result<SealedEnvelope> envelope_in(std::string_view document) {
  const auto span = span_in(document);
  if (!span) return tl::unexpected<Error>(span.error());
  const auto parts = parts_of(document.substr(span->first, span->last - span->first));
  const auto unreadable = [] {
    return fail(Errc::bad_input, "the statement in it is damaged and can't be read");
  };
  if (parts.size() != parts_count || parts[3].size() != seal_size) return unreadable();
  auto statement = from_base64(parts[0]);
  const auto key = from_base64(parts[1]);
  const auto signature = signature_from_base64(parts[2]);
  const auto seal = signature_from_base64(parts[3]);
  SealedEnvelope envelope;
  if (!statement || !key || key->size() != envelope.key.bytes.size() || !signature || !seal)
    return unreadable();
  std::ranges::copy(*key, envelope.key.bytes.begin());
  envelope.statement = std::move(*statement);
  envelope.signature = *signature;
  envelope.seal = *seal;
  envelope.unsealed = document;
  envelope.unsealed.replace(span->last - seal_size, seal_size, std::string(seal_size, '.'));
  return envelope;
}

}  // namespace leadwright
