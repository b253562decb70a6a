// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/cranking_rating.h"

#include <array>
#include <cmath>

namespace leadwright {
namespace {

constexpr Second first_phase_counts_as{17.0};

struct RatingStep {
  double from_a;
  double step_a;
};
constexpr std::array<RatingStep, 5> rating_steps{{{0, 10}, {200, 20}, {300, 30}, {600, 40}, {800, 50}}};

const RatingStep& step_at(double amps) {
  std::size_t found = 0;
  while (found + 1 < rating_steps.size() && amps >= rating_steps[found + 1].from_a) ++found;
  return rating_steps[found];
}

}  // namespace

Second en_cranking_time(Second second_phase) {
  return second_phase + first_phase_counts_as;
}

Ampere en_step_down(Ampere rating) {
  const RatingStep& step = step_at(rating.si());
  return Ampere(step.from_a + step.step_a * std::floor((rating.si() - step.from_a) / step.step_a));
}

Ampere en_step_up(Ampere rating) {
  const RatingStep& step = step_at(rating.si());
  return Ampere(step.from_a + step.step_a * std::ceil((rating.si() - step.from_a) / step.step_a));
}

}  // namespace leadwright
