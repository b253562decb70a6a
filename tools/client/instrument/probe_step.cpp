// SPDX-License-Identifier: Apache-2.0
#include "tools/client/instrument/probe_step.h"

#include "tools/client/instrument/line_exchange.h"
#include "tools/client/instrument/scpi_probe.h"

namespace leadwright {

namespace {

constexpr Second open_time_max{3.0};

Task<Result<WhoAnswered>> ask_all(Link& link, LinkAddress::Kind kind, Clock& machine) {
  const auto steps = probe_steps(kind);
  Result<WhoAnswered> best =
      fail(Errc::unsupported, "nothing can be asked over this kind of link", link.name());
  for (const auto& step : steps) {
    Result<WhoAnswered> who = co_await step->ask(link, machine);
    if (who || !link.is_open()) co_return who;
    const bool heard_more = best.error().code != Errc::garbled;
    if (heard_more) best = std::move(who);
  }
  co_return best;
}

}  // namespace

std::vector<std::unique_ptr<ProbeStep>> probe_steps(LinkAddress::Kind) {
  std::vector<std::unique_ptr<ProbeStep>> steps;
  steps.push_back(std::make_unique<ScpiProbe>());
  return steps;
}

Task<Result<WhoAnswered>> identify(Link& link, LinkAddress::Kind kind, Clock& machine) {
  Result<void> opened = co_await link.open(machine.now() + open_time_max);
  if (!opened) co_return pass(opened);
  const Second boot = link.boot_time();
  if (boot > Second(0.0)) {
    auto booted = machine.sleep_for(boot);
    co_await booted;
  }
  Result<void> quiet = co_await await_quiet(link, machine);
  if (!quiet) {
    link.close();
    co_return pass(quiet);
  }
  Result<WhoAnswered> who = co_await ask_all(link, kind, machine);
  link.close();
  co_return who;
}

}  // namespace leadwright
