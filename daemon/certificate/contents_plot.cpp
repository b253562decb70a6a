// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>

#include "daemon/battery/uncertainty.h"
#include "daemon/certificate/contents_parts.h"

namespace leadwright {
namespace {

/// What is less is no discharge: the meter's zero and a resting battery.
constexpr Ampere discharge_least{0.5};
constexpr Volt cell_cutoff{1.75};
/// Of a plot before its discharge begins and after it has ended, as a share of its length.
constexpr double margin_share = 0.04;

bool gives(const Sample& sample) {
  return sample.amps && *sample.amps > discharge_least && sample.volts;
}

/// Nothing where it was not judged, or by readings that no run took.
std::optional<RunId> run_behind(const std::vector<const Finding*>& judged, Measurand measurand) {
  const auto found = std::ranges::find(judged, measurand, &Finding::measurand);
  if (found == judged.end() || (*found)->run == RunId{}) return std::nullopt;
  return (*found)->run;
}

/// The first and one past the last sample that belong to the picture.
std::pair<std::size_t, std::size_t> picture_of(const std::vector<Sample>& samples) {
  const auto first = std::ranges::find_if(samples, gives);
  if (first == samples.end()) return {0, 0};
  const auto last = std::find_if(samples.rbegin(), samples.rend(), gives).base();
  const Second margin = ((last - 1)->at - first->at) * margin_share;
  const auto from =
      std::ranges::find_if(samples, [&](const Sample& sample) { return sample.at >= first->at - margin; });
  const auto to = std::find_if(last, samples.end(),
                               [&](const Sample& sample) { return sample.at > (last - 1)->at + margin; });
  return {static_cast<std::size_t>(from - samples.begin()), static_cast<std::size_t>(to - samples.begin())};
}

/// Of each equal piece the lowest and the highest voltage, so that no dip is lost.
std::vector<PlotPoint> thinned(const std::vector<PlotPoint>& points) {
  if (points.size() <= plot_points_max) return points;
  constexpr std::size_t pieces = plot_points_max / 2;
  std::vector<PlotPoint> kept;
  for (std::size_t piece = 0; piece < pieces; ++piece) {
    const auto from = points.begin() + static_cast<std::ptrdiff_t>(points.size() * piece / pieces);
    const auto to = points.begin() + static_cast<std::ptrdiff_t>(points.size() * (piece + 1) / pieces);
    auto [low, high] = std::minmax_element(
        from, to, [](const PlotPoint& a, const PlotPoint& b) { return a.volts < b.volts; });
    if (high < low) std::swap(low, high);
    kept.push_back(*low);
    if (high != low) kept.push_back(*high);
  }
  return kept;
}

std::string end_words(const std::vector<const Finding*>& judged, RunId run,
                      const std::vector<Sample>& samples) {
  const auto stated = [&](Measurand measurand) { return run_behind(judged, measurand) == run; };
  const auto last = std::find_if(samples.rbegin(), samples.rend(), gives);
  if (last == samples.rend()) return "";
  std::string at = fixed(last->volts->si(), 2);
  at.append(" V");
  const bool whole = stated(Measurand::reserve_capacity) || stated(Measurand::reserve_capacity_ref);
  if (!whole && stated(Measurand::reserve_capacity_ref_at_least))
    return "stopped at " + at + ", before its end";
  return whole || stated(Measurand::capacity_20h) ? "ended at " + at : "";
}

}  // namespace

std::optional<RunId> plotted_run_of(const std::vector<const Finding*>& judged) {
  for (const Measurand measurand :
       {Measurand::reserve_capacity_ref, Measurand::reserve_capacity,
        Measurand::reserve_capacity_ref_at_least, Measurand::capacity_20h_ref, Measurand::load_volts}) {
    if (const auto run = run_behind(judged, measurand)) return run;
  }
  return std::nullopt;
}

std::optional<RunId> plotted_run(const TicketFile& file) {
  return plotted_run_of(judged_findings(file));
}

std::optional<CertifiedPlot> plot_of(const TicketFile& file, const std::vector<const Finding*>& judged,
                                     const std::vector<Sample>& samples) {
  const auto id = plotted_run_of(judged);
  const auto run = id ? std::ranges::find(file.runs, *id, &Run::id) : file.runs.end();
  const auto [from, to] = picture_of(samples);
  if (run == file.runs.end() || to - from < 2) return std::nullopt;
  CertifiedPlot plot;
  plot.title = "Voltage during " + run->procedure + ", " + shown(run->id);
  const auto first = std::ranges::find_if(samples, gives);
  std::vector<PlotPoint> points;
  for (std::size_t i = from; i < to; ++i) {
    if (samples[i].volts) points.push_back({samples[i].at - first->at, *samples[i].volts});
  }
  plot.points = thinned(points);
  plot.end = end_words(judged, run->id, samples);
  if (!plot.end.empty()) plot.cutoff = file.battery.nameplate.cells * cell_cutoff;
  return plot;
}

}  // namespace leadwright
