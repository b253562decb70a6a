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
#include "tools/client/checked_file.h"
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

std::string policy_path(const std::string& policy, const std::string& folder) {
  const bool is_name = policy.find('/') == std::string::npos && !policy.ends_with(".toml");
  return is_name ? folder + "/policies/" + policy + ".toml" : policy;
}

/// "\r37 %, about 4 min left" on a terminal.
class Progress {
 public:
  Progress() : began_(since_boot()) {}
  void show(double done) {
    if (::isatty(STDERR_FILENO) == 0 || done <= 0.0) return;
    const Second left = (since_boot() - began_) * (1.0 / done - 1.0);
    std::cerr << fmt::format("\r{:.0f} %, about {:.0f} min left   ", 100.0 * done, as_minutes(left));
    if (done >= 1.0) std::cerr << "\r\x1b[K";
    std::cerr.flush();
  }

 private:
  Second began_;
};

struct Asked {
  const ClientOptions& client;
  const RehearseReturnsOptions& options;
};

/// The same batteries under an earlier policy: the full sequence asks no policy, so it is made once.
using RehearsedBefore = std::vector<RehearsedReturn>;

ExitCode rehearse_under(const Policy& policy, ReturnsOptions& rehearsal, const Asked& asked,
                        RehearsedBefore& before) {
  const char accepted_from = asked.options.accepted_from.front();
  if (asked.options.only) {
    const auto one = rehearse_return(rehearsal, *asked.options.only);
    if (!one) return report_mistakes(one.error());
    std::cout << return_story(*one, line_of(policy, accepted_from));
    return ExitCode::ok;
  }
  const Second cpu_before = cpu_used();
  rehearsal.share_least = line_of(policy, accepted_from).share;
  Progress progress;
  auto all = rehearse_returns(rehearsal, [&progress](double done) { progress.show(done); });
  if (!all) return report_mistakes(all.error());
  for (std::size_t i = 0; i < std::min(before.size(), all->size()); ++i) (*all)[i].full = before[i].full;
  const Summary summary = summarise(*all, policy, accepted_from, rehearsal.mix);
  RehearsalFacts facts;
  facts.policy = fmt::format("{}, version {}", policy.name, policy.version);
  facts.mix = fmt::format("{}, version {}", rehearsal.mix.name, rehearsal.mix.version);
  facts.seed = rehearsal.seed;
  facts.threads = rehearsal.threads;
  facts.cpu = cpu_used() - cpu_before;
  facts.queue = rehearsal.mix.queue;
  std::cout << (asked.client.json ? returns_json(summary, *all, facts) : returns_table(summary, *all, facts));
  std::cout.flush();
  rehearsal.full_sequence = false;
  before = std::move(*all);
  return ExitCode::ok;
}

}  // namespace

ExitCode rehearse_returns_command(const ClientOptions& client, const RehearseReturnsOptions& options) {
  const std::string folder = options.config.empty() ? default_config_folder() : options.config;
  auto mix = load_returns_mix(options.mix.empty() ? folder + "/returns.toml" : options.mix);
  if (!mix) return report_mistakes(mix.error());
  ReturnsOptions rehearsal;
  rehearsal.mix = *mix;
  rehearsal.config_folder = folder;
  rehearsal.count = options.count;
  rehearsal.of_each = options.of_each;
  rehearsal.seed = options.seed;
  rehearsal.full_sequence = !options.without_full_sequence;
  const int machine = static_cast<int>(std::max(1U, std::thread::hardware_concurrency()));
  const int batteries = options.of_each.value_or(options.count);
  rehearsal.threads = std::min(options.threads > 0 ? options.threads : machine, batteries);
  // All are read before hours are spent on the first.
  std::vector<Policy> policies;
  for (const std::string& each : options.policies) {
    auto policy = load_policy(policy_path(each, folder));
    if (!policy) return report_mistakes(policy.error());
    policies.push_back(std::move(*policy));
  }
  RehearsedBefore before;
  for (std::size_t i = 0; i < policies.size(); ++i) {
    rehearsal.policy_file = policy_path(options.policies[i], folder);
    if (client.json && policies.size() > 1) std::cout << (i == 0 ? "[" : ",\n");
    const ExitCode code = rehearse_under(policies[i], rehearsal, {client, options}, before);
    if (code != ExitCode::ok) return code;
  }
  if (client.json && policies.size() > 1) std::cout << "]\n";
  return ExitCode::ok;
}

}  // namespace leadwright
