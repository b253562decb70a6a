// SPDX-License-Identifier: Apache-2.0
#include <unistd.h>

#include <filesystem>
#include <fstream>

#include "tools/benchmarks/sections.h"
#include "tools/rehearse/world.h"

namespace leadwright {

namespace fs = std::filesystem;

namespace {

/// A draw until 1.75 V a cell; the whole of a procedure.
std::string draw_file(const std::string& name, const std::string& amps, const std::string& every,
                      const std::string& needs) {
  return "schema = 1\nname = \"" + name + "\"\nversion = 1\nwhat = \"Draws for the benchmark.\"\n" +
         "needs = [" + needs + "]\n[[step]]\nname = \"draw\"\ndo = \"draw\"\nwhat = \"Draw.\"\n" +
         "amps = \"" + amps + "\"\ncutoff = \"1.72 V * cells\"\n" +
         "until = [{ name = \"cut-off reached\", when = \"volts <= 1.75 V * cells\" }]\n" +
         "at_most = \"1 h\"\nevery = \"" + every + "\"\n";
}

/// The simulated load without settling times, so that one breach comes soon after another.
void write_hasty_load(const fs::path& profiles) {
  std::ifstream from(profiles / "simulated_load.toml");
  std::ofstream to(profiles / "hasty_load.toml");
  for (std::string line; std::getline(from, line);) {
    if (!line.starts_with("settle_ms")) to << line << '\n';
  }
}

}  // namespace

BenchmarkConfig::BenchmarkConfig() {
  const fs::path folder = fs::temp_directory_path() / ("leadwright-bench-" + std::to_string(::getpid()));
  fs::remove_all(folder);
  fs::copy(default_config_folder(), folder, fs::copy_options::recursive);
  std::ofstream(folder / "procedures" / "steady_draw.toml")
      << draw_file(steady_draw, "5 A", "0.1 s", R"("load", "thermometer")");
  std::ofstream(folder / "procedures" / "bare_draw.toml")
      << draw_file(bare_draw, "1 A", "0.1 s", R"("load")");
  std::ofstream(folder / "procedures" / "slow_draw.toml")
      << draw_file(slow_draw, "5 A", "0.5 s", R"("load", "thermometer")");
  write_hasty_load(folder / "profiles");
  folder_ = folder.string();
}

BenchmarkConfig::~BenchmarkConfig() {
  std::error_code ignored;
  fs::remove_all(folder_, ignored);
}

}  // namespace leadwright
