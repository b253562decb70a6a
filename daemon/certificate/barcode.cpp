// SPDX-License-Identifier: Apache-2.0
#include "daemon/certificate/barcode.h"

#include <zint.h>

#include <limits>
#include <memory>

namespace leadwright {
namespace {

/// The library's number for error correction M.
constexpr int correction_m = 2;

struct SymbolDeleter {
  void operator()(zint_symbol* symbol) const { ZBarcode_Delete(symbol); }
};

Result<Barcode> encoded(int symbology, int correction, const std::string& text) {
  const std::unique_ptr<zint_symbol, SymbolDeleter> symbol(ZBarcode_Create());
  if (!symbol || text.empty() || text.size() > std::numeric_limits<int>::max())
    return fail(Errc::bad_input, "there is nothing to encode");
  symbol->symbology = symbology;
  symbol->input_mode = UNICODE_MODE;
  symbol->option_1 = correction;
  const int failed = ZBarcode_Encode(symbol.get(), reinterpret_cast<const unsigned char*>(text.data()),
                                     static_cast<int>(text.size()));
  if (failed >= ZINT_ERROR) return fail(Errc::bad_input, symbol->errtxt, "barcode");
  Barcode code;
  for (int row = 0; row < symbol->rows; ++row) {
    std::vector<bool> modules(static_cast<std::size_t>(symbol->width));
    for (int column = 0; column < symbol->width; ++column) {
      modules[static_cast<std::size_t>(column)] =
          ((symbol->encoded_data[row][column / 8] >> (column % 8)) & 1) != 0;
    }
    code.rows.push_back(std::move(modules));
  }
  return code;
}

}  // namespace

Result<Barcode> code_128(const std::string& text) {
  return encoded(BARCODE_CODE128, -1, text);
}

Result<Barcode> qr(const std::string& text) {
  return encoded(BARCODE_QRCODE, correction_m, text);
}

}  // namespace leadwright
