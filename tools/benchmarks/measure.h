// SPDX-License-Identifier: Apache-2.0
// What the benchmarks measure with: time of the machine and of its threads, spreads, aims beside figures.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "daemon/clock/instant.h"

namespace leadwright {

/// CPU time of this process, or of the calling thread alone: other programs on the machine do not count.
Second process_cpu();
Second thread_cpu();
/// CLOCK_MONOTONIC: the same on every thread, and as RealClock gives it.
Instant machine_now();
/// How long the calling thread was ready to run and had no core, since it began: what a busy machine adds.
Second thread_waited_for_core();

/// The calling thread runs before every ordinary program of the machine (SCHED_FIFO), or as one of them
/// again. False if that is not allowed here.
bool run_before_others(bool is_before);

double microseconds(Second time);
double microseconds(Second time, std::size_t count);
double milliseconds(Second time);

struct Spread {
  std::size_t count = 0;
  Second median;
  Second p99;
  Second p999;
  Second worst;
};
/// All zero if there is none. A percentile is the smallest figure with at least that share at or below it, so
/// that p99.9 of fewer than 1000 is the worst.
Spread spread_of(std::vector<Second> figures);

/// "met" or "MISSED".
std::string verdict(double figure, double aim);

}  // namespace leadwright
