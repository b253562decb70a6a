// SPDX-License-Identifier: Apache-2.0
#include "daemon/certificate/document.h"

#include "daemon/certificate/canvas.h"
#include "daemon/certificate/envelope.h"
#include "daemon/certificate/page.h"
#include "daemon/certificate/slip.h"
#include "daemon/certificate/statement.h"

namespace leadwright {
namespace {

SheetFrame sheet_of(Paper paper) {
  return paper == Paper::a4 ? SheetFrame{0.0, 0.0, points(210.0), points(297.0)}
                            : SheetFrame{0.0, 0.0, points(215.9), points(279.4)};
}

}  // namespace

std::optional<Paper> paper_of(std::string_view word) {
  if (word == "a4") return Paper::a4;
  if (word == "letter") return Paper::letter;
  return std::nullopt;
}

std::optional<Drawing> drawing_of(std::string_view file) {
  if (file.ends_with(".pdf")) return Drawing::pdf;
  if (file.ends_with(".svg")) return Drawing::svg;
  return std::nullopt;
}

Result<std::string> certificate_document(const Certificate& certificate, const SigningKey& key,
                                         Drawing drawing, Paper paper) {
  const std::string signed_text = statement(certificate);
  auto code = qr(slip(certificate, key));
  if (!code) return pass(code);
  const PageMarks marks{std::move(*code), statement_id(signed_text), key_id(public_key_of(key)),
                        base64(sign(key, Signed::statement, signed_text))};
  const FileWords words{"Battery test certificate " + certificate.ticket, unsealed_envelope(signed_text, key),
                        certificate.graded_at.rfc3339()};
  const SheetFrame sheet = sheet_of(paper);
  bool has_fitted = false;
  auto document =
      drawn(drawing, sheet, words, [&](Sheet& on) { has_fitted = draw_page(on, sheet, certificate, marks); });
  if (!document) return pass(document);
  if (!has_fitted) return fail(Errc::bug, "the certificate does not fit on its page", certificate.ticket);
  return sealed(std::move(*document), key);
}

}  // namespace leadwright
