// SPDX-License-Identifier: Apache-2.0
// leadwright-simtest: many seeded worlds in several processes, and what was found in them. Run by
// tools/simtest.
#include <sys/mman.h>
#include <sys/time.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <fstream>
#include <iostream>
#include <sstream>

#include "tools/simtest_world/report.h"
#include "tools/simtest_world/seed_run.h"
#include "tools/simtest_world/simtest_options.h"

namespace leadwright {

namespace {

/// CPU time after which a world hangs: a day of it takes seconds.
constexpr ::itimerval hangs_after{{0, 0}, {120, 0}};

SeedOptions seed_options(const SimtestOptions& options, std::uint64_t seed) {
  SeedOptions one;
  one.seed = seed;
  one.hours = options.hours;
  one.ceiling = options.ceiling;
  one.config_folder = options.config_folder;
  return one;
}

/// Every seed of this process's share. What was found is said at once, and summed up into a file.
void run_share(const SimtestOptions& options, int share, volatile std::uint64_t* at_seed,
               volatile std::uint64_t* found, int sums_fd) {
  Tally sum;
  for (std::uint64_t seed = options.first + static_cast<std::uint64_t>(share); seed <= options.last;
       seed += static_cast<std::uint64_t>(options.jobs)) {
    if (options.until_first && *found != 0) break;
    *at_seed = seed;
    ::setitimer(ITIMER_PROF, &hangs_after, nullptr);
    const SeedResult result = run_seed(seed_options(options, seed));
    sum.add(result.tally);
    std::string said = violations_text(options, seed, result);
    if (options.twice) {
      sum.add("seeds run twice");
      if (run_seed(seed_options(options, seed)).hash != result.hash) {
        sum.add("violations");
        said += differs_text(options, seed);
      }
    }
    if (!said.empty()) *found = 1;
    if (options.hashes) said += hash_text(seed, result.hash);
    if (!said.empty()) std::cout << said << std::flush;
  }
  std::ostringstream text;
  sum.write(text);
  const std::string bytes = text.str();
  for (std::size_t done = 0; done < bytes.size();) {
    const ssize_t wrote = ::write(sums_fd, bytes.data() + done, bytes.size() - done);
    if (wrote <= 0) std::abort();
    done += static_cast<std::size_t>(wrote);
  }
}

struct Worker {
  pid_t process = 0;
  std::FILE* sums = nullptr;
};

/// Adds the worker's sums; one that did not end by itself is a violation of the seed that it was at.
void gather(const SimtestOptions& options, Worker& worker, const volatile std::uint64_t* at_seed,
            Tally& sum) {
  int status = 0;
  ::waitpid(worker.process, &status, 0);
  if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) {
    sum.add("violations");
    std::cout << broken_off_text(options, *at_seed, WIFSIGNALED(status) && WTERMSIG(status) == SIGPROF);
    return;
  }
  std::rewind(worker.sums);
  std::string text;
  for (int letter = std::fgetc(worker.sums); letter != EOF; letter = std::fgetc(worker.sums))
    text.push_back(static_cast<char>(letter));
  std::istringstream from(text);
  sum.read(from);
}

int run_many(const SimtestOptions& options) {
  // Real time of the whole, for the table alone: the worlds live on virtual time.
  const auto began = std::chrono::steady_clock::now();
  const std::size_t size = sizeof(std::uint64_t) * static_cast<std::size_t>(options.jobs + 1);
  void* const shared = ::mmap(nullptr, size, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
  if (shared == MAP_FAILED) return 71;
  auto* const at_seed = static_cast<volatile std::uint64_t*>(shared);
  std::vector<Worker> workers(static_cast<std::size_t>(options.jobs));
  for (int share = 0; share < options.jobs; ++share) {
    Worker& worker = workers[static_cast<std::size_t>(share)];
    worker.sums = std::tmpfile();
    if (worker.sums == nullptr) return 74;
    worker.process = ::fork();
    if (worker.process != 0) continue;
    run_share(options, share, &at_seed[share], &at_seed[options.jobs], ::fileno(worker.sums));
    ::_exit(0);
  }
  Tally sum;
  for (int share = 0; share < options.jobs; ++share)
    gather(options, workers[static_cast<std::size_t>(share)], &at_seed[share], sum);
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - began;
  std::cout << table_text(sum, Second(took.count()));
  const std::string seldom = seldom_text(sum, options.each_kind);
  std::cout << seldom;
  return sum.of("violations") == 0 && seldom.empty() ? 0 : 1;
}

int run_one(const SimtestOptions& options) {
  SeedOptions one = seed_options(options, options.first);
  std::ofstream file(options.log_file, std::ios::trunc | std::ios::binary);
  if (!file) {
    std::cerr << "simtest: can't write " << options.log_file << '\n';
    return 73;
  }
  one.log = &file;
  const SeedResult result = run_seed(one);
  std::cout << violations_text(options, one.seed, result) << "hash " << std::hex << result.hash << std::dec
            << '\n';
  return result.violations.empty() ? 0 : 1;
}

}  // namespace

}  // namespace leadwright

int main(int argc, char** argv) {
  const auto options = leadwright::read_simtest_options({argv + 1, argv + argc});
  if (!options) {
    std::cerr << "simtest: " << options.error().what << '\n' << leadwright::simtest_usage();
    return 64;
  }
  if (options->help) {
    std::cout << leadwright::simtest_usage();
    return 0;
  }
  return options->log_file.empty() ? leadwright::run_many(*options) : leadwright::run_one(*options);
}
