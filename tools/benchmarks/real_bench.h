// SPDX-License-Identifier: Apache-2.0
// The daemon as main.cpp puts it together, on real time and real links, but to canned loads that breach their
// envelope again and again. On the thread that makes it, which is control.
#pragma once

#include <boost/asio/io_context.hpp>
#include <boost/asio/steady_timer.hpp>
#include <memory>
#include <string>
#include <vector>

#include "daemon/assembly.h"
#include "daemon/clock/real_clock.h"
#include "daemon/publisher.h"
#include "daemon/store/sqlite_store.h"
#include "daemon/web/web.h"
#include "drivers/system_links.h"
#include "tools/benchmarks/measure.h"
#include "tools/benchmarks/responder.h"
#include "tools/benchmarks/sections.h"

namespace leadwright {

/// The store, but that a run is told at once that its start is kept: else none would start while the disk
/// stands still. Everything else is answered when the disk has it.
class ImpatientStore final : public Store {
 public:
  ImpatientStore(Store& store, Loop& control) : store_(store), control_(control) {}
  Result<StoredBench> load() override { return store_.load(); }
  void write(Batch batch, std::function<void(Result<void>)> done) override;
  std::size_t backlog() const override { return store_.backlog(); }

 private:
  Store& store_;
  Loop& control_;
};

struct RealBenchOrder {
  LinkAddress::Kind kind = LinkAddress::Kind::tcp;
  int bays = 1;
  int breaching_bays = 1;
  int readings_max = 1;        ///< see BreachingLoad
  bool before_others = false;  ///< control and the instruments are: see run_before_others()
};

class RealBench {
 public:
  /// Ready when this returns: every load connected and off. Ends the program where that fails.
  RealBench(const BenchmarkConfig& config, const RealBenchOrder& order);
  RealBench(const RealBench&) = delete;
  RealBench& operator=(const RealBench&) = delete;
  ~RealBench();

  /// Draws at every bay, one after the other, so that their samples spread over the period; a bay that
  /// tripped is acknowledged and draws again. Then everything off.
  void run_for(Second time);
  /// From just before a breaching answer went to the kernel, on the instrument's side, until the off command
  /// was handed to it, on ours.
  const std::vector<Second>& protection_times() const { return protection_times_; }
  /// Draws at every bay; then a client of the web server asks to stop all, `times` over. From just before its
  /// request is sent until the off commands of every bay were handed to the kernel.
  std::vector<Second> stop_all_times(int times);
  /// Every bay draws, as long as nobody stops it.
  void begin_draws();
  /// How late control's loop was, each time that it was to be woken, every 5 ms for this long.
  std::vector<Second> lateness_for(Second time);
  /// Everything off.
  void end();
  std::string url() const { return web_->url(); }
  std::uint16_t web_port() const { return web_->port(); }

 private:
  class Tapped;
  std::unique_ptr<Plan> plan_of(const BenchmarkConfig& config, const RealBenchOrder& order);
  void bring_batteries();
  void draw(const std::string& place);
  void run_context_until(Instant end);
  bool every_bay_draws() const;
  Second stop_all_once();
  void heard(std::size_t bay, bool outward, std::string_view bytes);

  std::string state_;
  std::vector<std::unique_ptr<BreachingLoad>> loads_;
  Responder responder_;
  boost::asio::io_context context_{1};
  AsioLoop loop_{context_};
  RealClock clock_{loop_};
  SystemLinkFactory system_links_{loop_, clock_};
  std::unique_ptr<SqliteStore> sqlite_;
  std::unique_ptr<ImpatientStore> store_;
  std::unique_ptr<Plan> plan_;
  std::unique_ptr<Bench> bench_;
  std::unique_ptr<WebServer> web_;
  std::unique_ptr<Publisher> publisher_;
  std::vector<std::string> addresses_;  ///< by bay
  std::vector<Second> protection_times_;
  std::vector<bool> told_off_;  ///< by bay, while a stop of all is measured
  std::size_t told_off_count_ = 0;
  Instant all_told_off_;
  bool before_others_;
  bool is_ending_ = false;
};

}  // namespace leadwright
