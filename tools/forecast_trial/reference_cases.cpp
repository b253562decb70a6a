// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "tools/benchsim/replay_battery.h"
#include "tools/forecast_trial/cases.h"

namespace leadwright {
namespace {

namespace fs = std::filesystem;

constexpr Ampere replayed_at{25.0};

/// The number behind a key of a sidecar; missing if there is none.
std::optional<double> number_of(const fs::path& sidecar, std::string_view key) {
  std::ifstream file(sidecar);
  const std::string text{std::istreambuf_iterator<char>(file), {}};
  const std::size_t found = text.find(fmt::format("\"{}\": ", key));
  if (found == std::string::npos) return {};
  const std::size_t from = found + key.size() + 4;
  double value = 0.0;
  const auto [end, error] = std::from_chars(text.data() + from, text.data() + text.size(), value);
  return error == std::errc() ? std::optional(value) : std::nullopt;
}

Result<TrialCase> read_case(const fs::path& csv) {
  auto trace = load_replay(csv.string());
  if (!trace) return pass(trace);
  const fs::path sidecar = fs::path(csv).replace_extension(".json");
  const auto end = number_of(sidecar, "minutes_to_cutoff");
  if (!end) return fail(Errc::bad_input, "no minutes_to_cutoff in the sidecar", sidecar.string());
  TrialCase one;
  one.name = csv.stem().string();
  one.group = one.name.substr(0, 1);
  one.alike = one.group != "E";
  one.nominal = minutes(number_of(sidecar, "nominal_minutes_at_25a").value_or(*end));
  one.end = minutes(*end);
  for (std::size_t row = 0; row < trace->volts.size(); ++row) {
    Sample sample;
    sample.at = trace->delivered[row] / replayed_at;
    sample.volts = trace->volts[row];
    one.samples.push_back(sample);
  }
  return one;
}

}  // namespace

Result<std::vector<TrialCase>> reference_cases(const std::string& folder, Half half) {
  const auto shape = [&folder](const char* name) -> Result<DesignCurve> {
    auto one = read_case(fs::path(folder) / "A" / name);
    if (!one) return pass(one);
    return shape_of({one->samples, Second(0.0), one->end, 6});
  };
  auto of_44 = shape("A_44ah_25a.csv");
  auto of_60 = shape("A_60ah_25a.csv");
  if (!of_44) return pass(of_44);
  if (!of_60) return pass(of_60);
  const DesignCurve foreign = simulated_design(60.0);
  std::vector<TrialCase> cases;
  for (const char* group : {"B", "E"}) {
    std::vector<fs::path> found;
    for (const auto& entry : fs::directory_iterator(fs::path(folder) / group))
      if (entry.path().extension() == ".csv") found.push_back(entry.path());
    std::ranges::sort(found);
    for (std::size_t i = half == Half::to_tune_on ? 0 : 1; i < found.size(); i += 2) {
      auto one = read_case(found[i]);
      if (!one) return pass(one);
      constexpr Second nominal_of_44 = minutes(90.09);
      one->curve = one->nominal == nominal_of_44 ? *of_44 : *of_60;
      one->curve.time = one->nominal;
      one->foreign = foreign;
      one->foreign.time = one->nominal;
      cases.push_back(std::move(*one));
    }
  }
  return cases;
}

}  // namespace leadwright
