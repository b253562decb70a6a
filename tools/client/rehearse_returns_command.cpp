// SPDX-License-Identifier: Apache-2.0
#include "tools/client/rehearse_returns_command.h"

#include <fmt/format.h>
#include <sys/resource.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <iostream>
#include <thread>

#include "daemon/clock/real_clock.h"
#include "tools/rehearse/world.h"
#include "tools/returns/report.h"

namespace leadwright {

namespace {

Second cpu_used() {
  rusage used{};
  ::getrusage(RUSAGE_SELF, &used);
  const auto seconds = [](const timeval& time) {
    return static_cast<double>(time.tv_sec) + 1e-6 * static_cast<double>(time.tv_usec);
  };
  return Second(seconds(used.ru_utime) + seconds(used.ru_stime));
}

Second since_boot() {
  return Second(1e-9 * static_cast<double>(since_boot_ns()));
}

ExitCode refuse(const std::vector<Error>& errors) {
  for (const Error& error : errors) std::cerr << "leadwright: " << error.line() << '\n';
  return exit_code(errors.front().code);
}

std::string policy_path(const RehearseReturnsOptions& options, const std::string& folder) {
  const bool is_name = options.policy.find('/') == std::string::npos && !options.policy.ends_with(".toml");
  return is_name ? folder + "/policies/" + options.policy + ".toml" : options.policy;
}

/// "\r123 of 200, about 4 min left" on a terminal.
class Progress {
 public:
  explicit Progress(int count) : count_(count), began_(since_boot()) {}
  void show(int done) {
    if (::isatty(STDERR_FILENO) == 0 || done == 0) return;
    const Second spent = since_boot() - began_;
    const Second left = spent * (static_cast<double>(count_ - done) / done);
    std::cerr << fmt::format("\r{} of {}, about {:.0f} min left   ", done, count_, as_minutes(left));
    if (done == count_) std::cerr << "\r\x1b[K";
    std::cerr.flush();
  }

 private:
  int count_;
  Second began_;
};

}  // namespace

ExitCode rehearse_returns_command(const ClientOptions& client, const RehearseReturnsOptions& options) {
  const std::string folder = options.config.empty() ? default_config_folder() : options.config;
  auto mix = load_returns_mix(options.mix.empty() ? folder + "/returns.toml" : options.mix);
  if (!mix) return refuse(mix.error());
  ReturnsOptions rehearsal;
  rehearsal.mix = *mix;
  rehearsal.policy_file = policy_path(options, folder);
  rehearsal.config_folder = folder;
  rehearsal.count = options.count;
  rehearsal.seed = options.seed;
  rehearsal.full_sequence = !options.without_full_sequence;
  const int machine = static_cast<int>(std::max(1U, std::thread::hardware_concurrency()));
  rehearsal.threads = std::min(options.threads > 0 ? options.threads : machine, options.count);
  const auto policy = load_policy(rehearsal.policy_file);
  if (!policy) return refuse(policy.error());
  const char accepted_from = options.accepted_from.front();
  if (options.only) {
    const auto one = rehearse_return(rehearsal, *options.only);
    if (!one) return refuse(one.error());
    std::cout << return_story(*one, line_of(*policy, accepted_from));
    return ExitCode::ok;
  }
  Progress progress(options.count);
  const auto all = rehearse_returns(rehearsal, [&progress](int done) { progress.show(done); });
  if (!all) return refuse(all.error());
  const Summary summary = summarise(*all, *policy, accepted_from, *mix);
  RehearsalFacts facts;
  facts.policy = fmt::format("{}, version {}", policy->name, policy->version);
  facts.mix = fmt::format("{}, version {}", mix->name, mix->version);
  facts.seed = options.seed;
  facts.threads = rehearsal.threads;
  facts.cpu = cpu_used();
  facts.queue = mix->queue;
  std::cout << (client.json ? returns_json(summary, *all, facts) : returns_table(summary, *all, facts));
  return ExitCode::ok;
}

}  // namespace leadwright
