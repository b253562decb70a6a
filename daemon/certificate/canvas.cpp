// SPDX-License-Identifier: Apache-2.0
#include "daemon/certificate/canvas.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>

namespace leadwright {
namespace {

cairo_status_t append(void* to, const unsigned char* bytes, unsigned int size) {
  static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(bytes), size);
  return CAIRO_STATUS_SUCCESS;
}

std::string escaped(const std::string& text) {
  std::string out;
  for (const char c : text) {
    if (c == '&') {
      out += "&amp;";
    } else if (c == '<') {
      out += "&lt;";
    } else {
      out += c;
    }
  }
  return out;
}

void describe_pdf(cairo_surface_t* surface, const FileWords& words) {
  cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, words.title.c_str());
  cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, "Leadwright");
  if (!words.created_at.empty())
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, words.created_at.c_str());
  if (!words.keywords.empty())
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_KEYWORDS, words.keywords.c_str());
}

/// The library writes no words into an SVG: they go behind its opening tag.
void describe_svg(std::string& bytes, const FileWords& words) {
  const auto tag = bytes.find("<svg");
  const auto end = tag == std::string::npos ? tag : bytes.find('>', tag);
  if (end == std::string::npos) return;
  std::string text = "\n<title>" + escaped(words.title) + "</title>";
  if (!words.keywords.empty()) text.append("\n<metadata>").append(words.keywords).append("</metadata>");
  bytes.insert(end + 1, text);
}

}  // namespace

Result<std::string> drawn(Drawing drawing, const SheetFrame& paper, const FileWords& words,
                          const std::function<void(Sheet&)>& draw) {
  std::string bytes;
  cairo_surface_t* const surface =
      drawing == Drawing::pdf
          ? cairo_pdf_surface_create_for_stream(append, &bytes, paper.width, paper.height)
          : cairo_svg_surface_create_for_stream(append, &bytes, paper.width, paper.height);
  if (drawing == Drawing::pdf) {
    describe_pdf(surface, words);
  } else {
    cairo_svg_surface_set_document_unit(surface, CAIRO_SVG_UNIT_PT);
  }
  cairo_t* const context = cairo_create(surface);
  {
    Sheet sheet(context);
    draw(sheet);
  }
  cairo_show_page(context);
  cairo_destroy(context);
  cairo_surface_finish(surface);
  const cairo_status_t status = cairo_surface_status(surface);
  cairo_surface_destroy(surface);
  if (status != CAIRO_STATUS_SUCCESS) {
    return fail(Errc::bug, std::string("the page could not be drawn: ") + cairo_status_to_string(status));
  }
  if (drawing == Drawing::svg) describe_svg(bytes, words);
  return bytes;
}

}  // namespace leadwright
