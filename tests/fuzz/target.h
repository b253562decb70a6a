// SPDX-License-Identifier: Apache-2.0
// What every fuzz target shares. A target is one function over bytes: deterministic, without files, clocks or
// threads. libFuzzer calls it under the preset fuzz, replay_main.cpp with the corpus under all others.
#pragma once

#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string_view>

// libFuzzer finds the target by this name.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace leadwright {

/// Ends the program, with the broken promise on stderr, unless `kept`. Counts in every build, unlike assert.
inline void promise(bool kept, const char* words) {
  if (kept) return;
  std::fprintf(stderr, "broken promise: %s\n", words);
  std::abort();
}

inline std::string_view text_of(const std::uint8_t* data, std::size_t size) {
  return {reinterpret_cast<const char*>(data), size};
}

}  // namespace leadwright
