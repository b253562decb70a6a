// SPDX-License-Identifier: Apache-2.0
// Numbers: shared domain notes, sections 10 and 15.
#include "daemon/battery/uncertainty.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>

namespace leadwright {
namespace {

/// GUM H.2: volts, amperes and phase of one circuit, measured together.
constexpr double volts = 4.9990;
constexpr double amps = 0.0196610;
constexpr double phase = 1.04446;
constexpr double u_volts = 3.2e-3;
constexpr double u_amps = 9.5e-6;
constexpr double u_phase = 0.75e-3;
constexpr std::array<Correlation, 3> together{{{0, 1, -0.36}, {0, 2, 0.86}, {1, 2, -0.65}}};

double u_of_sum(const std::array<double, 3>& contributions, std::span<const Correlation> correlations) {
  return combined(std::span<const double>(contributions), correlations);
}

std::array<double, 3> of_resistance() {
  return {std::cos(phase) / amps * u_volts, -volts * std::cos(phase) / (amps * amps) * u_amps,
          -volts / amps * std::sin(phase) * u_phase};
}

// Row 31 (F/C): 127.732 ohm with u 0.070 to 0.071; X 219.847 with 0.296, Z 254.260 with 0.237 (section 10:
// C).
TEST(CorrelatedInputs, meet_the_guides_example_of_a_circuit) {
  EXPECT_NEAR(volts / amps * std::cos(phase), 127.732, 5e-4);
  EXPECT_NEAR(u_of_sum(of_resistance(), together), 0.0705, 1e-3);
  EXPECT_NEAR(volts / amps * std::sin(phase), 219.847, 5e-4);
  const std::array<double, 3> reactance{std::sin(phase) / amps * u_volts,
                                        -volts * std::sin(phase) / (amps * amps) * u_amps,
                                        volts / amps * std::cos(phase) * u_phase};
  EXPECT_NEAR(u_of_sum(reactance, together), 0.296, 1e-3);
  const std::array<double, 3> impedance{u_volts / amps, -volts / (amps * amps) * u_amps, 0.0};
  EXPECT_NEAR(volts / amps, 254.260, 1e-3);
  EXPECT_NEAR(u_of_sum(impedance, together), 0.237, 1e-3);
}

// Section 10 (C): leaving the correlations out gives 0.194.
TEST(CorrelatedInputs, are_far_off_when_taken_for_independent) {
  EXPECT_NEAR(u_of_sum(of_resistance(), {}), 0.194, 1e-3);
}

TEST(CorrelatedInputs, of_one_meter_cancel_in_a_difference) {
  const std::array<double, 2> difference{0.5, -0.5};
  const std::array<Correlation, 1> same{{{0, 1, 1.0}}};
  EXPECT_NEAR(combined(std::span<const double>(difference), same), 0.0, 1e-12);
  EXPECT_NEAR(combined(std::span<const double>(difference), {}), std::sqrt(0.5), 1e-12);
}

}  // namespace
}  // namespace leadwright
