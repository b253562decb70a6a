// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "daemon/certificate/page_parts.h"

namespace leadwright {
namespace {

constexpr double code_side = points(33.0);
constexpr double letter_side = points(26.0);
constexpr double head_gap = 12.0;

/// The letter in its frame, with its meaning below.
void draw_letter(Sheet& sheet, const SheetFrame& frame, const Certificate& certificate) {
  sheet.outline(frame, Ink::dark, 1.4);
  const std::string letter(1, certificate.letter);
  const TextStyle large{50.0, true};
  const double width = sheet.width_of(letter, large);
  sheet.text({frame.x + 0.5 * (frame.width - width), frame.y + 1.0, frame.width, 0.0}, letter, large);
  TextStyle small{8.0, true};
  small.size *= std::min(1.0, 0.88 * frame.width / sheet.width_of(certificate.meaning, small));
  const double meaning = sheet.width_of(certificate.meaning, small);
  sheet.text({frame.x + 0.5 * (frame.width - meaning), frame.y + frame.height - 13.0, frame.width, 0.0},
             certificate.meaning, small);
}

double draw_titles(Sheet& sheet, SheetFrame at, const Certificate& certificate) {
  const double from = at.y;
  at.y += sheet.text(at, "Battery test certificate", {18.0, true});
  at.y += sheet.text(at, "Ticket " + certificate.ticket, {13.0, true}) + 2.0;
  at.y +=
      sheet.text(at, "Reserve capacity: " + certificate.minutes, {10.5, false, false, Ink::dark, 2}) + 1.0;
  at.y += sheet.text(at, "Graded " + certificate.graded_at.rfc3339() + ", policy " + certificate.policy,
                     {8.0, false, false, Ink::quiet, 2});
  return at.y - from;
}

}  // namespace

double page_head(Sheet& sheet, SheetFrame at, const Certificate& certificate, const PageMarks& marks,
                 const Density& density) {
  draw_letter(sheet, {at.x, at.y, letter_side, letter_side}, certificate);
  const SheetFrame code{at.x + at.width - code_side, at.y, code_side, code_side};
  sheet.barcode(code, marks.slip);
  const double quiet_zone =
      code_side * qr_quiet_modules / static_cast<double>(std::max<std::size_t>(1, marks.slip.width()));
  SheetFrame titles = at;
  titles.x += letter_side + head_gap;
  titles.width -= letter_side + code_side + head_gap + std::max(head_gap, quiet_zone);
  const double text = draw_titles(sheet, titles, certificate);
  double height = std::max({letter_side, code_side, text});
  if (!certificate.simulated) return height;
  const SheetFrame notice{at.x, at.y + height + 6.0, at.width, 2.0 * density.size + 5.0};
  sheet.fill(notice, Ink::dark);
  sheet.text({notice.x + 6.0, notice.y + 4.0, notice.width - 12.0, 0.0},
             "SIMULATED BENCH: no real battery was measured",
             {density.size + 1.4, true, false, Ink::paper, 1});
  return height + 6.0 + notice.height;
}

double page_verdict(Sheet& sheet, SheetFrame at, const Certificate& certificate, const Density& density) {
  const double from = at.y;
  const int lines = density.paragraph_lines_max;
  if (const auto& own = certificate.own_letter) {
    // The reason last: it is what may be cut where it is long.
    std::string words("Letter set by two persons on ");
    words.append(own->set_at.rfc3339().substr(0, 10)).append("; the bench's own letter: ");
    words.append(1, own->letter).append(", ").append(own->meaning).append(". Their reason: ");
    at.y += sheet.text(at, words + own->why, {density.size + 1.2, true, false, Ink::dark, lines}) + 2.0;
  }
  at.y += sheet.text(at, certificate.reason, {density.size + 2.2, true, false, Ink::dark, lines}) + 2.0;
  const auto add = [&](const char* name, const std::string& words) {
    if (words.empty()) return;
    at.y += sheet.text(at, name + words, {density.size + 0.4, false, false, Ink::dark, lines}) + 1.5;
  };
  add("What to do: ", certificate.disposition);
  add("Warranty: ", certificate.warranty);
  add("Second life: ", certificate.second_life);
  const auto add_all = [&](const char* name, const std::vector<std::string>& texts) {
    const std::size_t most = std::min(texts.size(), density.list_max);
    for (std::size_t i = 0; i < most; ++i) add(name, texts[i]);
    if (texts.size() > most) add("", std::to_string(texts.size() - most) + " more in the signed statement.");
  };
  add_all("Look at this first: ", certificate.flags);
  add_all("Fault: ", certificate.faults);
  const std::size_t rules =
      certificate.faults.empty() ? std::min(certificate.rules.size(), density.rules_max) : 0;
  for (std::size_t i = 0; i < rules; ++i) {
    at.y += sheet.text(at, "Rule: " + certificate.rules[i],
                       {density.size - 0.6, false, false, Ink::quiet, density.how_lines_max});
  }
  return at.y - from;
}

}  // namespace leadwright
