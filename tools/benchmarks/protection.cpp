// SPDX-License-Identifier: Apache-2.0
// Our share of the protection time, with everything in its way: a disk that stands still, pages that watch,
// other bays that sample, and what the machine's other programs leave of its cores.
#include <fmt/format.h>

#include <array>
#include <iostream>

#include "tools/benchmarks/measure.h"
#include "tools/benchmarks/page_readers.h"
#include "tools/benchmarks/real_bench.h"
#include "tools/benchmarks/sections.h"
#include "tools/benchmarks/slow_disk.h"

namespace leadwright {

namespace {

constexpr Second aim{1e-3};
constexpr Second each_for{6.0};
constexpr Second stall{2.0};
constexpr int pages = 100;

struct Load {
  int bays;
  int breaching;
  int readings_max;
};
constexpr std::array loads{Load{1, 1, 2}, Load{16, 8, 4}, Load{64, 32, 4}};

void print_row(const BenchmarkConfig& config, LinkAddress::Kind kind, const Load& load, bool before_others) {
  RealBench bench(config, {kind, load.bays, load.breaching, load.readings_max, before_others});
  const PageReaders readers(bench.web_port(), pages);
  const Second waited_before = thread_waited_for_core();
  const Second used_before = thread_cpu();
  int slow_syncs = 0;
  {
    const SlowDisk disk(stall);
    bench.run_for(each_for);
    slow_syncs = SlowDisk::calls();
  }
  const Second used = thread_cpu() - used_before;
  const Second waited = thread_waited_for_core() - waited_before;
  const Spread spread = spread_of(bench.protection_times());
  const auto share = [](Second of) { return 100.0 * of.si() / each_for.si(); };
  std::cout << fmt::format("  {:<16}{:4}   {:8}   {:6.3f} ms   {:7.3f} ms  {:6}   {:7.3f} ms",
                           kind == LinkAddress::Kind::tcp ? "TCP" : "pseudo-terminal", load.bays,
                           spread.count, milliseconds(spread.median), milliseconds(spread.p999),
                           verdict(spread.p999.si(), aim.si()), milliseconds(spread.worst))
            << fmt::format("   {:5.1f} %  {:5.1f} %", share(used), share(waited))
            << (slow_syncs > 0 ? "" : "  no sync was slow")
            << (readers.bytes_read() > 0 ? "" : "  no page read") << std::endl;
}

void print_rows(const BenchmarkConfig& config, bool before_others) {
  for (const auto kind : {LinkAddress::Kind::tcp, LinkAddress::Kind::serial}) {
    for (const Load& load : loads) print_row(config, kind, load, before_others);
  }
}

}  // namespace

void print_protection(const BenchmarkConfig& config) {
  std::cout << fmt::format(
      R"(protection time, our share: from just before the instrument hands the breaching reading to the kernel
  until we have handed it the off command, so that both hand-overs are in it. Every bay draws at 10
  samples/s on the real clock, spread over the period, each sync of the disk takes {:.0f} s, {} pages read
  the event stream. Aim: p99.9 under {:.0f} ms; USBTMC is exempt: the kernel's calls block, its bound is
  off_within_s of the link.
  Of control's thread: CPU; waits, ready to run without a core.
                  bays   breaches      median        p99.9                 worst       CPU    waits
)",
      stall.si(), pages, milliseconds(aim));
  print_rows(config, false);
  const bool is_allowed = run_before_others(true) && run_before_others(false);
  std::cout << "  the same, where control and instruments run before every other program (SCHED_FIFO)"
            << (is_allowed ? ":\n" : ": not allowed here\n");
  if (is_allowed) print_rows(config, true);
}

}  // namespace leadwright
