// SPDX-License-Identifier: Apache-2.0
#include "tools/simtest_world/simtest_options.h"

#include <charconv>
#include <thread>

#include "tools/rehearse/world.h"

namespace leadwright {

namespace {

template <class T>
bool read_number(std::string_view text, T& into) {
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), into);
  return error == std::errc() && end == text.data() + text.size() && !text.empty();
}

bool read_seeds(std::string_view text, SimtestOptions& options) {
  const std::size_t dots = text.find("..");
  if (dots == std::string_view::npos) {
    options.first = 1;
    return read_number(text, options.last) && options.last >= 1;
  }
  return read_number(text.substr(0, dots), options.first) &&
         read_number(text.substr(dots + 2), options.last) && options.first <= options.last;
}

std::vector<std::string> words(std::string_view text) {
  std::vector<std::string> found;
  while (!text.empty()) {
    const std::size_t comma = std::min(text.find(','), text.size());
    if (comma > 0) found.emplace_back(text.substr(0, comma));
    text.remove_prefix(std::min(comma + 1, text.size()));
  }
  return found;
}

bool read_value(const std::string& name, const std::string& text, SimtestOptions& options) {
  if (name == "--seeds") return read_seeds(text, options);
  if (name == "--jobs") return read_number(text, options.jobs) && options.jobs >= 1 && options.jobs <= 256;
  if (name == "--each-kind") return read_number(text, options.each_kind);
  if (name == "--seed") {
    if (!read_number(text, options.first)) return false;
    options.last = options.first;
    return true;
  }
  if (name == "--hours") {
    double count = 0.0;
    if (!read_number(text, count) || !(count > 0.0 && count <= 10000.0)) return false;
    options.hours = hours(count);
    return true;
  }
  if (name == "--log") options.log_file = text;
  if (name == "--ceiling") options.ceiling = words(text);
  return name == "--log" || name == "--ceiling";
}

}  // namespace

Result<SimtestOptions> read_simtest_options(const std::vector<std::string>& arguments) {
  SimtestOptions options;
  options.jobs = static_cast<int>(std::max(1U, std::thread::hardware_concurrency()));
  options.config_folder = default_config_folder();
  for (std::size_t i = 0; i < arguments.size(); ++i) {
    const std::string& name = arguments[i];
    if (name == "--twice") {
      options.twice = true;
    } else if (name == "--hashes") {
      options.hashes = true;
    } else if (name == "--until-first") {
      options.until_first = true;
    } else if (name == "--help" || name == "-h") {
      options.help = true;
    } else if (i + 1 >= arguments.size() || !read_value(name, arguments[i + 1], options)) {
      return fail(Errc::bad_input, "can't read " + name, "arguments");
    } else {
      ++i;
    }
  }
  if (!options.log_file.empty() && options.first != options.last)
    return fail(Errc::bad_input, "a log is of one seed: give --seed S", "arguments");
  return options;
}

std::string simtest_usage() {
  return R"(usage: tools/simtest [--seeds N|A..B] [--hours H] [--jobs N] [--twice] [--hashes]
                     [--until-first] [--each-kind N] [--ceiling WORD,...]
       tools/simtest --seed S [--hours H] --log FILE

Runs whole simulated worlds on virtual time, one a seed: the daemon with its drivers and codecs, instruments,
batteries, people, and faults of everything, drawn from the seed. In each, nothing forbidden may happen while
things fail, and everything must come right when they stop. Prints what was violated, when, and the command
that shows it again; then a table. Exit 1 on a violation.

  --seeds A..B   from A to B (default 1..100)
  --hours H      bench hours of faults in each world (default 0.5)
  --jobs N       processes (default: one a core)
  --twice        each seed again; the event logs must be the same, byte for byte
  --hashes       says the hash of each event log: equal for every build and machine
  --each-kind N  exit 1 too where a kind of fault struck fewer than N times
  --until-first  ends with the first seed in which something was violated
  --log FILE     every event, byte and act of one seed, to read
  --ceiling W,.. only faults and mistakes whose names begin with one of these words ("none" for none at all)
)";
}

}  // namespace leadwright
