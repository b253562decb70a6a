// SPDX-License-Identifier: Apache-2.0
#include "daemon/settings/settings.h"
#include "protocol/toml_reader.h"

namespace leadwright {

namespace {

constexpr double scale_min = 0.01;
constexpr double scale_max = 100'000.0;

}  // namespace

tl::expected<BenchTimeFile, std::vector<Error>> read_bench_time(const std::string& path) {
  TomlDocument document = TomlDocument::load(path);
  const TomlTable& root = document.root();
  BenchTimeFile time;
  time.scale = root.need_number("scale");
  if (root.has("scale") && (time.scale < scale_min || time.scale > scale_max)) {
    root.error("scale", "no bench can run at this speed", "0.01 to 100000 bench seconds per second");
  }
  time.machine_zero_ns = root.need_integer("machine_zero_ns");
  const std::string zero = root.need_string("utc_zero");
  if (const auto utc = Utc::parse(zero)) {
    time.utc_zero = *utc;
  } else if (root.has("utc_zero")) {
    root.error("utc_zero", "\"" + zero + "\" is not an instant", "write 2026-01-31T08:00:00Z");
  }
  document.finish();
  if (!document.errors().empty()) return tl::unexpected<std::vector<Error>>(document.errors());
  return time;
}

}  // namespace leadwright
