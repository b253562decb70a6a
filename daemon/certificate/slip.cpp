// SPDX-License-Identifier: Apache-2.0
#include "daemon/certificate/slip.h"

#include "daemon/battery/content_hash.h"
#include "daemon/certificate/statement.h"

namespace leadwright {
namespace {

constexpr std::size_t id_digits = 16;
constexpr std::string_view before_key = ", key ";
constexpr std::string_view before_signature = ", signed ";

}  // namespace

std::string statement_id(std::string_view statement) {
  return content_hash(statement).substr(0, id_digits);
}

std::string slip(const Certificate& certificate, const SigningKey& key) {
  std::string text = "Leadwright certificate of ";
  text.append(certificate.ticket).append(": ");
  if (certificate.simulated) text.append("SIMULATED, ");
  text.append("grade ").append(1, certificate.letter);
  if (const auto& own = certificate.own_letter)
    text.append(" set by two persons (the bench's own: ").append(1, own->letter).append(")");
  text.append(", reserve capacity ").append(certificate.minutes);
  text.append(", graded ").append(certificate.graded_at.rfc3339());
  text.append(", statement ").append(statement_id(statement(certificate)));
  text.append(before_key).append(key_id(public_key_of(key)));
  const std::string signature = base64(sign(key, Signed::slip, text));
  return text.append(before_signature).append(signature);
}

Result<Slip> parse_slip(std::string_view text) {
  const auto last = text.find_last_not_of(" \t\r\n");
  text = text.substr(0, last == std::string_view::npos ? 0 : last + 1);
  const auto at = text.rfind(before_signature);
  const auto key_at = text.rfind(before_key, at);
  if (text.starts_with(slip_start) && at != std::string_view::npos && key_at != std::string_view::npos) {
    const auto signature = signature_from_base64(text.substr(at + before_signature.size()));
    const auto id_at = key_at + before_key.size();
    if (signature && id_at <= at) {
      return Slip{std::string(text.substr(0, at)), std::string(text.substr(id_at, at - id_at)), *signature};
    }
  }
  return fail(Errc::bad_input, "this is no text of a certificate's code", "", "scan the square code again");
}

}  // namespace leadwright
