// SPDX-License-Identifier: Apache-2.0
// leadwrightd: reads the configuration, opens the store, makes every instrument safe, serves the page.
#include <algorithm>
#include <boost/asio/io_context.hpp>
#include <boost/asio/signal_set.hpp>
#include <csignal>
#include <cstdio>
#include <exception>
#include <filesystem>
#include <fstream>

#include "daemon/alarm_command.h"
#include "daemon/assembly.h"
#include "daemon/certificate/desk.h"
#include "daemon/clock/real_clock.h"
#include "daemon/options.h"
#include "daemon/publisher.h"
#include "daemon/service_manager.h"
#include "daemon/settings/exit_codes.h"
#include "daemon/settings/log.h"
#include "daemon/settings/state_directory.h"
#include "daemon/store/sqlite_store.h"
#include "daemon/web/past_runs.h"
#include "daemon/web/web.h"
#include "drivers/system_links.h"

namespace leadwright {
namespace {

/// Time that running places have at the end to read back that they are off.
constexpr Second farewell_max{2.0};
constexpr Second farewell_period{0.05};
/// Time that the helpers of blocking links have to send what switches off: more than Link::urgent_within.
constexpr Second last_words_max{1.0};

/// For handlers that can be given nothing: what to switch off before the process dies of a bug.
Bench* bench_to_switch_off = nullptr;
SystemLinkFactory* links_to_finish = nullptr;

/// Names the bench and the maker of its links for as long as they live.
class SwitchOffOnDeath {
 public:
  SwitchOffOnDeath(Bench& bench, SystemLinkFactory& links) {
    bench_to_switch_off = &bench;
    links_to_finish = &links;
  }
  SwitchOffOnDeath(const SwitchOffOnDeath&) = delete;
  SwitchOffOnDeath& operator=(const SwitchOffOnDeath&) = delete;
  ~SwitchOffOnDeath() {
    bench_to_switch_off = nullptr;
    links_to_finish = nullptr;
  }
};

[[noreturn]] void die_safely() {
  if (bench_to_switch_off != nullptr) bench_to_switch_off->off_now();
  if (links_to_finish != nullptr) links_to_finish->finish_urgent(last_words_max);
  std::fputs("<0>event=bug what=\"an error left the control path; everything was switched off\"\n", stderr);
  std::_Exit(static_cast<int>(ExitCode::bug));
}

int complain(const std::vector<Error>& errors, ExitCode code) {
  for (const Error& error : errors) std::fprintf(stderr, "%s\n", error.line().c_str());
  return static_cast<int>(code);
}

int complain(const Error& error) {
  return complain({error}, exit_code(error.code));
}

/// Ends the loop when no place runs any more, or after `farewell_max`.
class Farewell {
 public:
  Farewell(Clock& machine, const Bench& bench, boost::asio::io_context& context)
      : machine_(machine), bench_(bench), context_(context), timer_(machine) {}
  void begin() {
    deadline_ = machine_.now() + farewell_max;
    look();
  }

 private:
  void look() {
    const bool busy =
        std::ranges::any_of(bench_.places(), [](const auto& place) { return place->run() != nullptr; });
    if (!busy || machine_.now() >= deadline_) return context_.stop();
    timer_.set(machine_.now() + farewell_period, [this] { look(); });
  }
  Clock& machine_;
  const Bench& bench_;
  boost::asio::io_context& context_;
  Timer timer_;
  Instant deadline_;
};

/// SIGUSR1 stops all and the daemon goes on: a stop for whoever has a terminal and nothing else.
class StopSignal {
 public:
  StopSignal(boost::asio::io_context& context, Bench& bench) : signals_(context, SIGUSR1), bench_(bench) {
    wait();
  }

 private:
  void wait() {
    signals_.async_wait([this](const boost::system::error_code& error, int) {
      if (error) return;
      bench_.stop_all(say("stop_all_by_signal", "stop all by signal"), "leadwrightd");
      wait();
    });
  }
  boost::asio::signal_set signals_;
  Bench& bench_;
};

void tell(const std::string& state) {
  const Result<void> told = tell_service_manager(state);
  if (!told) log_event(Level::warning, "service_manager", {{"error", told.error().line()}});
}

Result<void> write_url(const std::string& folder, const std::string& url) {
  std::ofstream file(folder + "/url", std::ios::trunc);
  file << url << '\n';
  if (!file.flush()) return fail(Errc::io, "can't write", folder + "/url", "check the state folder");
  return {};
}

WebSettings web_settings(const Settings& settings, const std::string& state) {
  return {settings.web_address, settings.web_port, settings.web_names, settings.web_behind_proxy,
          settings.web_asks_for_tokens ? state : std::string()};
}

Sentence told_to_end(int signal) {
  return signal == SIGINT ? say("stopped_by_keyboard", "stopped from the keyboard")
                          : say("told_to_end", "the daemon was told to end");
}

int serve(const Plan& plan, const std::string& state, const std::optional<BenchTimeFile>& time) {
  boost::asio::io_context context(1);
  AsioLoop loop(context);
  loop.on_bug = [](const std::exception_ptr&) { die_safely(); };
  RealClock machine(loop);
  const BenchTimeFile scaled_time = time.value_or(BenchTimeFile{});
  ScaledClock scaled(loop, machine, {scaled_time.scale, scaled_time.machine_zero_ns, scaled_time.utc_zero});
  Clock& bench_clock = time ? static_cast<Clock&>(scaled) : machine;
  const Clocks clocks{bench_clock, machine};

  auto store = SqliteStore::open({state, time.has_value(), plan.settings().queue_batches_max}, loop);
  if (!store) return complain(store.error());
  auto stored = (*store)->load();
  if (!stored) return complain(stored.error());

  SystemLinkFactory links(loop, machine);
  auto bench = plan.build(clocks, **store, links);
  if (!bench) return complain(bench.error());
  const SwitchOffOnDeath switch_off_on_death(**bench, links);
  (*bench)->begin(std::move(*stored));

  CertificateDesk desk({(*store)->path(), state, paper_of(plan.settings().paper).value_or(Paper::a4)});
  WebBridge bridge{loop, **bench, std::make_shared<PastRuns>((*store)->path())};
  bridge.papers = [&desk](const Request& request, const std::function<void(Response)>& back) {
    desk.draw(request, back);
  };
  auto web = WebServer::start(web_settings(plan.settings(), state), std::move(bridge));
  if (!web) return complain(web.error());
  const Result<void> written = write_url(state, (*web)->url());
  if (!written) return complain(written.error());
  const Publisher publisher(machine, **bench,
                            [&web](std::string snapshot) { (*web)->publish(std::move(snapshot)); });
  log_event(Level::notice, "daemon.ready", {{"url", (*web)->url()}, {"state", state}});

  Watchdog watchdog(machine, {watchdog_interval(), [&bench] { return (*bench)->protection_overdue(); },
                              [&bench] { return (*bench)->status_line(); }, tell});
  watchdog.begin();

  StopSignal stop_signal(context, **bench);
  std::optional<AlarmCommand> alarm_command;
  if (!plan.settings().alarm.command.empty()) {
    alarm_command.emplace(plan.settings().alarm);
    (*bench)->call_on_alarm([&alarm_command](const AlarmCall& call) { alarm_command->call(call); });
  }
  Farewell farewell(machine, **bench, context);
  boost::asio::signal_set signals(context, SIGINT, SIGTERM, SIGHUP);
  signals.async_wait([&](const boost::system::error_code& error, int number) {
    if (error) return;
    watchdog.end();
    (*bench)->stop_all(told_to_end(number), "leadwrightd");
    farewell.begin();
  });
  try {
    context.run();
  } catch (...) {
    // Before anything is unwound: the bench must still be there to be switched off.
    die_safely();
  }
  (*bench)->off_now();
  return static_cast<int>(ExitCode::ok);
}

int run(int argc, const char* const* argv) {
  ExitCode code = ExitCode::ok;
  const std::optional<DaemonOptions> options = read_options(argc, argv, code);
  if (!options) return static_cast<int>(code);
  auto settings = options->config.empty() ? read_installed_settings() : read_settings(options->config);
  if (!settings) return complain(settings.error(), ExitCode::configuration);
  std::optional<BenchTimeFile> time;
  if (settings->bench_time) {
    auto read = read_bench_time(*settings->bench_time);
    if (!read) return complain(read.error(), ExitCode::configuration);
    time = *read;
  }
  auto plan = Plan::read(std::move(*settings));
  if (!plan) return complain(plan.error(), ExitCode::configuration);
  if (options->check_config) {
    std::printf("the configuration is right: %zu places, %zu procedures\n", (*plan)->settings().places.size(),
                (*plan)->procedures().size());
    return static_cast<int>(ExitCode::ok);
  }
  const std::string state = state_directory(options->state);
  if (state.empty()) {
    return complain(
        {Errc::not_found, "no folder for the state is known", "--state", "name one with --state"});
  }
  std::error_code failed;
  std::filesystem::create_directories(state, failed);
  if (failed)
    return complain({{Errc::io, failed.message(), state, "make the folder or name another with --state"}},
                    ExitCode::cannot_create);
  start_log(Level::info);
  const int ended = serve(**plan, state, time);
  stop_log();
  return ended;
}

}  // namespace
}  // namespace leadwright

int main(int argc, char** argv) {
  std::set_terminate([] { leadwright::die_safely(); });
  try {
    return leadwright::run(argc, argv);
  } catch (const std::exception& error) {
    std::fprintf(stderr, "%s\n", error.what());
    leadwright::die_safely();
  }
}
