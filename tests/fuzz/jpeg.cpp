// SPDX-License-Identifier: Apache-2.0
// A photo that somebody hands in. What comes out is one as well, no longer, and stays as it is.
#include "protocol/jpeg.h"

#include "tests/fuzz/target.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using leadwright::promise;
  const auto bare = leadwright::bare_jpeg(leadwright::text_of(data, size));
  if (!bare) return 0;
  promise(bare->size() <= size, "it grows no longer");
  promise(leadwright::bare_jpeg(*bare) == *bare, "what was taken once is taken again as it is");
  return 0;
}
