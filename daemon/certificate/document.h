// SPDX-License-Identifier: Apache-2.0
// The certificate as a file: one page with its statement, signed. Takes some 20 ms: any thread but control's
// and the web's. Needs the DejaVu fonts; without them the letters are others, and all else holds.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "daemon/certificate/certificate.h"
#include "daemon/certificate/signing.h"

namespace leadwright {

enum class Paper { a4, letter };
std::optional<Paper> paper_of(std::string_view word);  ///< "a4", "letter"

enum class Drawing { pdf, svg };
/// By the end of a file's name, ".pdf" or ".svg".
std::optional<Drawing> drawing_of(std::string_view file);

/// The bytes of a whole document. Fails with bug if the drawing library does.
Result<std::string> certificate_document(const Certificate& certificate, const SigningKey& key,
                                         Drawing drawing, Paper paper);

}  // namespace leadwright
