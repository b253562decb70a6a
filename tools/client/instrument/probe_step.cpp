// SPDX-License-Identifier: Apache-2.0
#include "tools/client/instrument/probe_step.h"

#include "tools/client/instrument/line_exchange.h"
#include "tools/client/instrument/modbus_probe.h"
#include "tools/client/instrument/scpi_probe.h"

namespace leadwright {

namespace {

constexpr Second open_time_max{3.0};
constexpr std::string_view modbus_port = ":502";

Task<Result<void>> open_quiet(Link& link, Clock& machine) {
  Result<void> opened = co_await link.open(machine.now() + open_time_max);
  if (!opened) co_return opened;
  const Second boot = link.boot_time();
  if (boot > Second(0.0)) {
    auto booted = machine.sleep_for(boot);
    co_await booted;
  }
  Result<void> quiet = co_await await_quiet(link, machine);
  co_return quiet;
}

/// How much an error says about what is at the other end.
int weight(const Error& error) {
  if (error.code == Errc::garbled) return 2;
  return error.code == Errc::link_lost ? 1 : 0;
}

}  // namespace

std::vector<std::unique_ptr<ProbeStep>> probe_steps(const LinkAddress& address, int unit) {
  std::vector<std::unique_ptr<ProbeStep>> steps;
  steps.push_back(std::make_unique<ScpiProbe>());
  if (address.kind == LinkAddress::Kind::usbtmc) return steps;
  const bool is_tcp = address.kind == LinkAddress::Kind::tcp;
  steps.push_back(std::make_unique<ModbusProbe>(is_tcp, unit));
  if (is_tcp && address.target.ends_with(modbus_port)) steps.front().swap(steps.back());
  return steps;
}

Task<Result<WhoAnswered>> identify(Link& link, LinkAddress address, int unit, Clock& machine) {
  const auto steps = probe_steps(address, unit);
  std::optional<Error> best;
  for (const auto& step : steps) {
    Result<void> open;
    if (!link.is_open()) open = co_await open_quiet(link, machine);
    Result<WhoAnswered> who = fail(Errc::bug, "not asked");
    if (open) {
      who = co_await step->ask(link, machine);
    } else {
      who = pass(open);
    }
    if (who) {
      link.close();
      co_return who;
    }
    if (!best || weight(who.error()) > weight(*best)) best = who.error();
    if (!open && best->code != Errc::garbled) break;
    // A server of one protocol may take offence at the other's words: each has a connection of its own.
    if (address.kind == LinkAddress::Kind::tcp) link.close();
  }
  link.close();
  co_return tl::unexpected<Error>(std::move(*best));
}

}  // namespace leadwright
