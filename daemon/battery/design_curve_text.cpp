// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/design_curve_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "protocol/toml_reader.h"

namespace leadwright {
namespace {

constexpr double cell_min_v = 1.5;
constexpr double cell_max_v = 2.3;

/// A quoted TOML string; a size code has no control characters that could not stand in one.
std::string toml_quoted(std::string_view word) {
  std::string text = "\"";
  for (const char letter : word) {
    if (letter == '"' || letter == '\\') text += '\\';
    text += letter;
  }
  return text + '"';
}

void read_volts(const TomlTable& root, DesignCurve& curve) {
  const std::vector<double> volts = root.numbers("cell_v");
  if (volts.size() != DesignCurve::knots) {
    root.error("cell_v", "not the number of points that a curve has",
               fmt::format("write {} volts a cell, at equal shares of the time", DesignCurve::knots));
    return;
  }
  for (std::size_t knot = 0; knot < volts.size(); ++knot) {
    const bool rises = knot > DesignCurve::knots / 2 && volts[knot] > volts[knot - 1];
    if (volts[knot] < cell_min_v || volts[knot] > cell_max_v || rises) {
      root.error("cell_v", fmt::format("{} V is no point of a lead cell's discharge", volts[knot]),
                 "let the bench learn the curve again");
      return;
    }
    curve.cell[knot] = Volt(volts[knot]);
  }
}

tl::expected<DesignCurve, std::vector<Error>> read_curve(TomlDocument document) {
  DesignCurve curve;
  const TomlTable& root = document.root();
  curve.key.size_code = root.need_string("size_code");
  const auto chemistry = chemistry_of(root.need_string("chemistry"));
  if (!chemistry || !is_lead(*chemistry) || *chemistry == Chemistry::lead) {
    root.error("chemistry", "not a kind of lead battery", "write flooded, efb, agm or gel");
  } else {
    curve.key.chemistry = *chemistry;
  }
  curve.key.rated = minutes(root.need_number("rated_min"));
  curve.version = static_cast<int>(root.need_integer("version"));
  curve.batteries = static_cast<int>(root.need_integer("batteries"));
  if (curve.batteries < DesignCurve::batteries_min) {
    root.error("batteries", "too few to learn a design from",
               fmt::format("learn from {} or more", DesignCurve::batteries_min));
  }
  curve.time = minutes(root.need_number("time_min"));
  if (curve.time < minutes(10.0) || curve.time > hours(20.0)) {
    root.error("time_min", "outside what a starter battery gives at 25 A", "write 10 to 1200 min");
  }
  curve.time_spread = root.need_number("time_spread");
  read_volts(root, curve);
  document.finish();
  if (!document.errors().empty()) return tl::unexpected(document.errors());
  return curve;
}

}  // namespace

std::string text(const DesignCurve& curve) {
  std::string volts;
  for (std::size_t knot = 0; knot < DesignCurve::knots; ++knot) {
    volts += fmt::format("{}{:.4f}", knot == 0 ? "" : knot % 13 == 0 ? ",\n  " : ", ", curve.cell[knot].si());
  }
  return fmt::format(
      "# SPDX-License-Identifier: Apache-2.0\n"
      "# How sound batteries of this design fall at 25 A to 1.75 V a cell: volts a cell at equal shares of "
      "the\n"
      "# time. Learnt by the bench; let it learn again instead of editing.\n"
      "schema = 1\nsize_code = {}\nchemistry = \"{}\"\nrated_min = {}\nversion = {}\nbatteries = {}\n"
      "time_min = {:.3f}\ntime_spread = {:.4f}\ncell_v = [\n  {}]\n",
      toml_quoted(curve.key.size_code), word(curve.key.chemistry), as_minutes(curve.key.rated), curve.version,
      curve.batteries, as_minutes(curve.time), curve.time_spread, volts);
}

tl::expected<DesignCurve, std::vector<Error>> read_design_curve(std::string_view text,
                                                                const std::string& file) {
  return read_curve(TomlDocument::parse(text, file));
}

tl::expected<DesignCurve, std::vector<Error>> load_design_curve(const std::string& path) {
  return read_curve(TomlDocument::load(path));
}

tl::expected<std::vector<DesignCurve>, std::vector<Error>> load_design_curves(const std::string& folder) {
  std::vector<std::filesystem::path> files;
  std::error_code none;
  for (const auto& entry : std::filesystem::directory_iterator(folder, none))
    if (entry.path().extension() == ".toml") files.push_back(entry.path());
  std::ranges::sort(files);
  std::vector<DesignCurve> curves;
  std::vector<Error> errors;
  for (const auto& file : files) {
    const auto curve = load_design_curve(file.string());
    if (curve) {
      curves.push_back(*curve);
    } else {
      errors.insert(errors.end(), curve.error().begin(), curve.error().end());
    }
  }
  if (!errors.empty()) return tl::unexpected(std::move(errors));
  return curves;
}

const DesignCurve* newest_of(const std::vector<DesignCurve>& curves, const DesignKey& key) {
  const DesignCurve* newest = nullptr;
  for (const DesignCurve& curve : curves) {
    if (curve.key == key && (newest == nullptr || curve.version > newest->version)) newest = &curve;
  }
  return newest;
}

}  // namespace leadwright
