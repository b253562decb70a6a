// SPDX-License-Identifier: Apache-2.0
// Numbers that the same seed gives on every machine, for the errors of simulated instruments.
#pragma once

#include <cstdint>
#include <string_view>

namespace leadwright {

class SimRandom {
 public:
  explicit SimRandom(std::uint64_t seed) : state_(seed) {}
  /// A generator of its own for each name, so that one more instrument does not change the others.
  SimRandom(std::uint64_t seed, std::string_view name) : state_(seed) {
    for (const char letter : name) state_ = (state_ ^ static_cast<unsigned char>(letter)) * 0x100000001b3ULL;
    next();
  }

  std::uint64_t next() {
    state_ += 0x9e3779b97f4a7c15ULL;
    std::uint64_t z = state_;
    z = (z ^ (z >> 30U)) * 0xbf58476d1ce4e5b9ULL;
    z = (z ^ (z >> 27U)) * 0x94d049bb133111ebULL;
    return z ^ (z >> 31U);
  }
  /// Even over -1 to 1.
  double even() { return static_cast<double>(next() >> 11U) * 0x1.0p-52 - 1.0; }
  /// Near normal with a standard deviation of 1, never beyond 3.5: the sum of four even numbers.
  double normal() { return (even() + even() + even() + even()) * 0.8660254037844386; }

 private:
  std::uint64_t state_;
};

}  // namespace leadwright
