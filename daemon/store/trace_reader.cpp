// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/records.h"
#include "daemon/store/trace_codec.h"

namespace leadwright {

Result<std::vector<Sample>> load_trace(Database& database, RunId run) {
  auto blocks =
      Statement::prepare(database, "SELECT samples FROM trace_block WHERE run = ? ORDER BY sequence");
  if (!blocks) return pass(blocks);
  blocks->bind_all(static_cast<std::int64_t>(run));
  std::vector<Sample> all;
  for (;;) {
    const auto more = blocks->next();
    if (!more) return tl::unexpected<Error>(more.error());
    if (!*more) return all;
    auto samples = decode_samples(blocks->blob(0));
    if (!samples) return pass(samples);
    all.insert(all.end(), samples->begin(), samples->end());
  }
}

}  // namespace leadwright
