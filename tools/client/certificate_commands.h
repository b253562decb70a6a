// SPDX-License-Identifier: Apache-2.0
// `leadwright certificate`: page, label, key and verification. Reads the daemon's database beside it,
// read-only, and its signing key; needs no daemon. Verification needs no bench at all.
#pragma once

#include <string>

#include "daemon/settings/exit_codes.h"
#include "tools/client/options.h"

namespace leadwright {

struct CertificateOptions {
  std::string ticket;
  std::string out;  ///< file; for a page empty: TICKET.pdf; for a label needed
  std::string paper = "a4";
  int width_mm = 60;
};

struct CertificateKeyOptions {};

struct CertificateVerifyOptions {
  std::string file;  ///< "-" for standard input
  std::string key;   ///< file with the bench's public key, or its text
};

ExitCode certificate_write(const ClientOptions& client, const CertificateOptions& options);
ExitCode certificate_label(const ClientOptions& client, const CertificateOptions& options);
/// Prints the public key; makes the pair at first use.
ExitCode certificate_key(const ClientOptions& client, const CertificateKeyOptions& options);
/// ok if good, negative if not, bad_data if there is nothing in it to verify.
ExitCode certificate_verify(const ClientOptions& client, const CertificateVerifyOptions& options);

}  // namespace leadwright
