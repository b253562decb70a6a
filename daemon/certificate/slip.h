// SPDX-License-Identifier: Apache-2.0
// The certificate in one line, signed by itself: what its QR code holds, so that a sheet of paper can be
// verified with a scanner and the bench's public key. Pure; any thread.
#pragma once

#include <string>
#include <string_view>

#include "daemon/certificate/certificate.h"
#include "daemon/certificate/signing.h"

namespace leadwright {

/// Starts every slip; what a file that holds one begins with.
inline constexpr std::string_view slip_start = "Leadwright certificate of T-";

/// "Leadwright certificate of T-000001-3: grade B, reserve capacity 96.4 +- 3.1 min, graded
/// 2026-03-20T00:00:00Z, statement 0123456789abcdef, key 0123456789abcdef, signed BASE64". A simulated one
/// says SIMULATED.
std::string slip(const Certificate& certificate, const SigningKey& key);

/// A slip taken apart.
struct Slip {
  std::string text;  ///< all that is signed
  std::string key_id;
  Signature signature{};
};
/// Fails with bad_input for what is no slip. White space around it does no harm.
Result<Slip> parse_slip(std::string_view text);

/// First 16 hex digits of the statement's hash, which page, label and slip show.
std::string statement_id(std::string_view statement);

}  // namespace leadwright
