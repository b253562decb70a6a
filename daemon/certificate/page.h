// SPDX-License-Identifier: Apache-2.0
// The certificate's one page. Private to this folder: it shows the drawing library.
//
// What does not fit is shortened in this order, and the page says so: smaller letters; one line for how a
// finding was made; the last findings; the last lines of long lists. The statement always has all of it.
#pragma once

#include <string>

#include "daemon/certificate/certificate.h"
#include "daemon/certificate/sheet.h"

namespace leadwright {

/// What the page shows of its own signatures.
struct PageMarks {
  Barcode slip;
  std::string statement_id;
  std::string key_id;
  std::string signature;
};

/// Draws on a sheet of this size in points. False, with nothing drawn, if it does not fit however shortened:
/// texts are bounded where they come in, so that this is a bug.
bool draw_page(Sheet& sheet, SheetFrame paper, const Certificate& certificate, const PageMarks& marks);

}  // namespace leadwright
