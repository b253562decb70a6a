// SPDX-License-Identifier: Apache-2.0
// The parts of the page, from top to bottom. Each draws from the frame's upper left corner at its width and
// returns the height that it took. Private to this folder.
#pragma once

#include <cstddef>

#include "daemon/certificate/page.h"

namespace leadwright {

/// How much the page is shortened, and for how much room.
struct Density {
  double size = 8.6;  ///< of its letters, points
  int how_lines_max = 2;
  std::size_t findings_max = 30;
  std::size_t list_max = 12;  ///< lines of a list
  int paragraph_lines_max = 6;
  std::size_t rules_max = 4;
};

double page_head(Sheet& sheet, SheetFrame at, const Certificate& certificate, const PageMarks& marks,
                 const Density& density);
double page_verdict(Sheet& sheet, SheetFrame at, const Certificate& certificate, const Density& density);
/// Label on the left, visit on the right.
double page_battery(Sheet& sheet, SheetFrame at, const Certificate& certificate, const Density& density);
double page_findings(Sheet& sheet, SheetFrame at, const Certificate& certificate, const Density& density);
/// What was not measured, remembered, or taken at a person's word.
double page_limits(Sheet& sheet, SheetFrame at, const Certificate& certificate, const Density& density);
double page_instruments(Sheet& sheet, SheetFrame at, const Certificate& certificate, const Density& density);
double page_cautions(Sheet& sheet, SheetFrame at, const Certificate& certificate, const Density& density);
double page_foot(Sheet& sheet, SheetFrame at, const Certificate& certificate, const PageMarks& marks,
                 const Density& density);

/// Fills the frame.
void draw_plot(Sheet& sheet, const SheetFrame& frame, const CertifiedPlot& plot, const Density& density);

/// A heading of a part; returns its height.
double page_heading(Sheet& sheet, SheetFrame at, const char* words, const Density& density);
/// The first `most` lines, each of few lines, and how many more the statement has. Returns their height.
double page_list(Sheet& sheet, SheetFrame at, const std::vector<std::string>& lines, const Density& density);
/// "of a name" as the beginning of a line.
std::string capitalised(std::string text);

}  // namespace leadwright
