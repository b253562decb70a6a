// SPDX-License-Identifier: Apache-2.0
#include "daemon/certificate/label.h"

#include <algorithm>

#include "daemon/certificate/canvas.h"

namespace leadwright {
namespace {

constexpr double label_margin_share = 0.035;
constexpr double code_height_share = 0.16;
constexpr double letter_share = 0.24;

class Label {
 public:
  Label(Sheet& sheet, const Certificate& certificate, const Barcode& code, double width)
      : sheet_(sheet),
        certificate_(certificate),
        code_(code),
        width_(width),
        margin_(label_margin_share * width) {}

  /// Returns the height that it takes.
  double draw() {
    double y = margin_;
    y += head(y) + 0.5 * margin_;
    y += bars(y) + 0.3 * margin_;
    if (certificate_.simulated) y += line(y, "SIMULATED: no real battery", 0.05, true);
    if (certificate_.own_letter) y += line(y, set_by_persons(), 0.036, true);
    y += line(y,
              "Graded " + certificate_.graded_at.rfc3339().substr(0, 10) + ", policy " + certificate_.policy,
              0.033, false);
    y += line(y, "Never over vents or the date code. Recycle.", 0.033, false);
    return y + margin_;
  }

 private:
  double inner() const { return width_ - 2.0 * margin_; }

  double head(double y) {
    const double side = letter_share * width_;
    const SheetFrame frame{margin_, y, side, side};
    sheet_.outline(frame, Ink::dark, 0.008 * width_);
    const std::string letter(1, certificate_.letter);
    const TextStyle large{0.78 * side, true};
    const double letter_width = sheet_.width_of(letter, large);
    const double letter_height = 1.165 * large.size;
    sheet_.text({margin_ + 0.5 * (side - letter_width), y + 0.5 * (side - letter_height), side, 0.0}, letter,
                large);
    SheetFrame words{margin_ + side + margin_, y, inner() - side - margin_, 0.0};
    words.y += sheet_.text(words, "Grade " + letter + ": " + certificate_.meaning,
                           {0.052 * width_, true, false, Ink::dark, 2});
    words.y += sheet_.text(words, "RC " + certificate_.minutes, {0.058 * width_, true, false, Ink::dark, 2});
    words.y += sheet_.text(words, rated(), {0.038 * width_, false, false, Ink::quiet, 1});
    return std::max(side, words.y - y);
  }

  std::string set_by_persons() const {
    std::string words("Set by two persons; the bench's own letter: ");
    words.append(1, certificate_.own_letter->letter);
    return words.append(". ").append(certificate_.own_letter->why);
  }

  std::string rated() const {
    const auto fact = std::ranges::find(certificate_.nameplate, "reserve capacity", &CertificateFact::name);
    return fact == certificate_.nameplate.end() ? "" : "label: RC " + fact->value;
  }

  /// The code with its quiet zone, and the number below for people.
  double bars(double y) {
    const double modules = static_cast<double>(code_.width()) + 2.0 * code_128_quiet_modules;
    const double module = width_ / modules;
    const SheetFrame frame{code_128_quiet_modules * module, y, static_cast<double>(code_.width()) * module,
                           code_height_share * width_};
    sheet_.barcode(frame, code_);
    const TextStyle style{0.055 * width_, true, true};
    const double text = sheet_.width_of(certificate_.ticket, style);
    const double height =
        sheet_.text({0.5 * (width_ - text), y + frame.height, width_, 0.0}, certificate_.ticket, style);
    return frame.height + height;
  }

  double line(double y, const std::string& words, double size_share, bool is_bold) {
    return sheet_.text({margin_, y, inner(), 0.0}, words,
                       {size_share * width_, is_bold, false, Ink::dark, 2});
  }

  Sheet& sheet_;
  const Certificate& certificate_;
  const Barcode& code_;
  double width_;
  double margin_;
};

}  // namespace

Result<std::string> label_document(const Certificate& certificate, Drawing drawing, LabelWidth width) {
  if (width.mm < label_width_least.mm || width.mm > label_width_most.mm) {
    return fail(Errc::bad_input, "a label is not " + std::to_string(width.mm) + " mm wide", "--width-mm",
                "40 to 150");
  }
  auto code = code_128(certificate.ticket);
  if (!code) return pass(code);
  const double wide = points(width.mm);
  Sheet measured(nullptr);
  const SheetFrame paper{0.0, 0.0, wide, Label(measured, certificate, *code, wide).draw()};
  const FileWords words{"Label of " + certificate.ticket, "", certificate.graded_at.rfc3339()};
  return drawn(drawing, paper, words, [&](Sheet& sheet) {
    sheet.fill(paper, Ink::paper);
    Label(sheet, certificate, *code, wide).draw();
  });
}

}  // namespace leadwright
