// SPDX-License-Identifier: Apache-2.0
// The tables of the benchmark. Each prints itself; none asserts anything.
#pragma once

#include <string>

namespace leadwright {

/// A copy of the program's configuration files with the procedures of the benchmark beside the shipped ones;
/// it goes with this object.
class BenchmarkConfig {
 public:
  BenchmarkConfig();
  BenchmarkConfig(const BenchmarkConfig&) = delete;
  BenchmarkConfig& operator=(const BenchmarkConfig&) = delete;
  ~BenchmarkConfig();

  const std::string& folder() const { return folder_; }
  std::string profile(const std::string& name) const { return folder_ + "/profiles/" + name + ".toml"; }

 private:
  std::string folder_;
};

/// Draws 5 A at ten samples a second for an hour, watched by a thermometer.
inline constexpr const char* steady_draw = "steady draw";
/// The same at two samples a second.
inline constexpr const char* slow_draw = "slow draw";
/// Draws 1 A, which needs no ramp, at ten samples a second, without a thermometer.
inline constexpr const char* bare_draw = "bare draw";

/// The whole daemon on virtual time: how fast it runs, what a sample costs.
void print_factor(const BenchmarkConfig& config);
/// The same, for 1, 16 and 64 places.
void print_places(const BenchmarkConfig& config);
/// CPU time of our side of one exchange, by kind of link, beside a bare ping-pong.
void print_exchanges(const BenchmarkConfig& config);
/// From the last byte of a breaching reading to the off command with the kernel, on the real clock.
void print_protection(const BenchmarkConfig& config);
/// From a request to stop all until every off command is with the kernel, on the real clock.
void print_stop_all(const BenchmarkConfig& config);
/// Pages and clients that never finish: what a page waits, what control notices, on the real clock.
void print_load(const BenchmarkConfig& config);
/// From a breach at the terminals to no current, on virtual time.
void print_terminals(const BenchmarkConfig& config);
/// Memory, descriptors, log and queue over days of virtual time, eight bays and a real database.
void print_soak(const BenchmarkConfig& config);

}  // namespace leadwright
