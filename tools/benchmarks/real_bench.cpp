// SPDX-License-Identifier: Apache-2.0
#include "tools/benchmarks/real_bench.h"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <functional>
#include <iostream>
#include <thread>

#include "daemon/settings/settings.h"
#include "daemon/web/past_runs.h"
#include "tools/client/http_client.h"

namespace leadwright {

namespace {

constexpr Second to_be_off{0.5};
constexpr Second ready_within{10.0};
constexpr Second sampling_period{0.1};  // of the procedure
constexpr Second turn{0.02};
constexpr Second wake_every{0.005};
constexpr std::size_t batches_max = 16384;  // a disk that stands still all the time takes nothing
constexpr const char* who = "benchmark";

[[noreturn]] void no_bench(const std::string& why) {
  std::cerr << "leadwright-bench: " << why << '\n';
  std::exit(1);
}

std::string bay_name(std::size_t bay) {
  return "bay-" + std::to_string(bay + 1);
}

bool begins_a_run(const Batch& batch) {
  return std::ranges::any_of(batch, [](const Record& record) {
    const Run* run = std::get_if<Run>(&record);
    return run != nullptr && run->outcome == RunOutcome::running;
  });
}

}  // namespace

void ImpatientStore::write(Batch batch, std::function<void(Result<void>)> done) {
  if (!done || !begins_a_run(batch)) return store_.write(std::move(batch), std::move(done));
  store_.write(std::move(batch), {});
  control_.post([done = std::move(done)] { done({}); });
}

/// Listens to every link on the thread that hands bytes to the kernel.
class RealBench::Tapped final : public LinkFactory {
 public:
  explicit Tapped(RealBench& bench) : bench_(bench) {}
  Result<std::unique_ptr<Link>> make(const LinkAddress& address, const SerialSettings& serial) override {
    auto link = bench_.system_links_.make(address, serial);
    if (!link) return link;
    const auto found = std::ranges::find(bench_.addresses_, address.text());
    const auto bay = static_cast<std::size_t>(found - bench_.addresses_.begin());
    (*link)->tap = [&bench = bench_, bay](const std::string&, bool outward, std::string_view bytes, Instant) {
      bench.heard(bay, outward, bytes);
    };
    return link;
  }

 private:
  RealBench& bench_;
};

RealBench::RealBench(const BenchmarkConfig& config, const RealBenchOrder& order)
    : state_(config.folder() + "/state"), before_others_(order.before_others) {
  std::filesystem::remove_all(state_);
  for (int bay = 0; bay < order.bays; ++bay) {
    const bool is_breaching = bay < order.breaching_bays;
    loads_.push_back(std::make_unique<BreachingLoad>(is_breaching ? order.readings_max : 0));
    addresses_.push_back(responder_.add(order.kind, *loads_.back()).text());
  }
  responder_.start(order.before_others);
  auto sqlite = SqliteStore::open({state_, true, batches_max}, loop_);
  if (!sqlite) no_bench(sqlite.error().line());
  sqlite_ = std::move(*sqlite);
  store_ = std::make_unique<ImpatientStore>(*sqlite_, loop_);
  plan_ = plan_of(config, order);
  Tapped links(*this);
  auto bench = plan_->build({clock_, clock_}, *store_, links);
  auto stored = store_->load();
  if (!bench || !stored) no_bench("no bench");
  bench_ = std::move(*bench);
  bench_->on_run_ended = [this](const Place& place, const RunResult&) {
    if (!is_ending_) loop_.post([this, name = place.name()] { draw(name); });
  };
  bench_->begin(std::move(*stored));
  auto web =
      WebServer::start({"127.0.0.1", 0}, {loop_, *bench_, std::make_shared<PastRuns>(sqlite_->path())});
  if (!web) no_bench(web.error().line());
  web_ = std::move(*web);
  publisher_ = std::make_unique<Publisher>(
      clock_, *bench_, [this](std::string snapshot) { web_->publish(std::move(snapshot)); });
  bring_batteries();
  const auto is_ready = [this] {
    return std::ranges::all_of(bench_->places(),
                               [](const auto& place) { return place->activity() == Activity::ready; });
  };
  const Instant give_up = clock_.now() + ready_within;
  while (!is_ready() && clock_.now() < give_up) run_context_until(clock_.now() + turn);
  if (!is_ready()) no_bench("the places do not become ready: " + bench_->place("bay-1")->problem());
}

RealBench::~RealBench() {
  publisher_.reset();
  web_.reset();
  bench_.reset();
  sqlite_.reset();
}

std::unique_ptr<Plan> RealBench::plan_of(const BenchmarkConfig& config, const RealBenchOrder& order) {
  Settings settings;
  settings.bench_name = who;
  settings.bench_time = "real time, instruments that call themselves simulated";
  settings.procedures_folder = config.folder() + "/procedures";
  settings.policy_file = config.folder() + "/policies/bench.toml";
  settings.estimator_file = config.folder() + "/estimator.toml";
  for (std::size_t bay = 0; bay < static_cast<std::size_t>(order.bays); ++bay) {
    PlaceSettings place;
    place.name = bay_name(bay);
    place.kind = PlaceKind::bay;
    place.attended_only = false;
    place.load = InstrumentSettings{config.profile("hasty_load"), addresses_[bay], "", std::nullopt};
    settings.places.push_back(std::move(place));
  }
  auto plan = Plan::read(std::move(settings));
  if (!plan) no_bench(plan.error().front().line());
  return std::move(*plan);
}

void RealBench::bring_batteries() {
  for (std::size_t bay = 0; bay < loads_.size(); ++bay) {
    const std::string body =
        fmt::format(R"({{"battery":{{"serial":"bench {}","chemistry":"flooded","cells":6}},)"
                    R"("procedures":["{}"]}})",
                    bay, bare_draw);
    bench_->handle({"ticket.add", "", body, who, {}}, [](const Response&) {});
    const std::string ticket = shown(bench_->ledger().files().rbegin()->first);
    bench_->handle({"ticket.move", ticket, fmt::format(R"({{"place":"{}"}})", bay_name(bay)), who, {}},
                   [](const Response&) {});
  }
}

void RealBench::draw(const std::string& name) {
  Place& place = *bench_->place(name);
  const auto& procedures = plan_->procedures();
  const auto wanted = std::ranges::find(procedures, bare_draw, &Procedure::name);
  const TicketFile* file = bench_->ledger().at_place(name);
  if (file == nullptr || wanted == procedures.end()) no_bench("no battery or no procedure at " + name);
  if (!place.trip().empty()) place.unlatch();
  RunOrder order;
  order.run.id = bench_->ledger().next_run();
  order.run.ticket = file->ticket.id;
  order.run.place = name;
  order.run.procedure = wanted->name;
  order.run.started_at = clock_.utc();
  order.procedure = std::make_shared<const Procedure>(*wanted);
  order.battery = file->battery;
  const Result<void> started = place.start(std::move(order));
  if (!started) no_bench(started.error().line());
}

void RealBench::heard(std::size_t bay, bool outward, std::string_view bytes) {
  if (!outward || bytes.find("INP OFF") == bytes.npos) return;
  if (!told_off_.empty() && !told_off_[bay]) {
    told_off_[bay] = true;
    if (++told_off_count_ == told_off_.size()) all_told_off_ = machine_now();
  }
  const std::int64_t breached_ns = loads_[bay]->breached_ns.exchange(0);
  if (breached_ns != 0) protection_times_.push_back(machine_now() - Instant(breached_ns));
}

void RealBench::run_context_until(Instant end) {
  Timer stop(clock_);
  stop.set(end, [this] { context_.stop(); });
  context_.restart();
  context_.run();
}

bool RealBench::every_bay_draws() const {
  return std::ranges::all_of(bench_->places(), [](const auto& place) {
    return place->run() != nullptr && place->run()->is_energised();
  });
}

Second RealBench::stop_all_once() {
  const Instant give_up = clock_.now() + ready_within;
  while (!every_bay_draws() && clock_.now() < give_up) run_context_until(clock_.now() + turn);
  if (!every_bay_draws()) no_bench("not every bay draws");
  told_off_.assign(loads_.size(), false);
  told_off_count_ = 0;
  Instant asked;
  std::thread client([&asked, url = web_->url()] {
    asked = machine_now();
    const auto answer =
        http_request(url, "POST", "/api/v1/stop", R"({"why":"the benchmark"})", {actor_header(who)});
    if (!answer || answer->status != 200) no_bench("stop all was not taken");
  });
  while (told_off_count_ < told_off_.size() && clock_.now() < give_up) {
    run_context_until(clock_.now() + turn);
  }
  run_context_until(clock_.now() + to_be_off);
  client.join();
  if (told_off_count_ < told_off_.size()) no_bench("stop all did not reach every bay");
  told_off_.clear();
  return all_told_off_ - asked;
}

std::vector<Second> RealBench::stop_all_times(int times) {
  std::vector<Second> figures;
  figures.reserve(static_cast<std::size_t>(times));
  begin_draws();
  for (int time = 0; time < times; ++time) figures.push_back(stop_all_once());
  end();
  return figures;
}

void RealBench::begin_draws() {
  for (std::size_t bay = 0; bay < loads_.size(); ++bay) draw(bay_name(bay));
}

std::vector<Second> RealBench::lateness_for(Second time) {
  std::vector<Second> figures;
  figures.reserve(static_cast<std::size_t>(time / wake_every));
  const Instant last = clock_.now() + time;
  Timer wake(clock_);
  std::function<void(Instant)> wait_until = [&](Instant due) {
    wake.set(due, [&, due] {
      figures.push_back(clock_.now() - due);
      if (due < last) wait_until(clock_.now() + wake_every);
    });
  };
  wait_until(clock_.now() + wake_every);
  run_context_until(last);
  return figures;
}

void RealBench::end() {
  is_ending_ = true;
  bench_->stop_all(in_own_words("the benchmark ends"), who);
  run_context_until(clock_.now() + to_be_off);
}

void RealBench::run_for(Second time) {
  if (before_others_) run_before_others(true);
  for (std::size_t bay = 0; bay < loads_.size(); ++bay) {
    draw(bay_name(bay));
    run_context_until(clock_.now() + sampling_period / static_cast<double>(loads_.size()));
  }
  run_context_until(clock_.now() + time);
  if (before_others_) run_before_others(false);
  end();
}

}  // namespace leadwright
