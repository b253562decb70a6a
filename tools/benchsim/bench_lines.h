// SPDX-License-Identifier: Apache-2.0
// The simulated bench as a neighbour process sees it: a pseudo-terminal for each SCPI or RTU line under a
// stable name, TCP ports if asked, the control socket, and the file that tells bench time. For the program
// benchsim.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "protocol/result.h"
#include "tools/benchsim/benchsim.h"

namespace leadwright {

struct BenchLinesOptions {
  std::string state;   ///< folder: lines/NAME, benchsim.sock, bench_time.toml, ports.txt
  double scale = 1.0;  ///< bench seconds per second
  bool tcp = false;    ///< also a port of 127.0.0.1 for each SCPI line and each Modbus TCP line
  int tcp_port_base =
      0;  ///< 0: ports that the kernel gives; else from this one on (implies tcp), in their order
  SimBenchOptions bench;
  std::vector<std::string> wiring;  ///< sentences of SimBench::wire
};

/// Serves until SIGINT or SIGTERM; calls `ready` once when every line is up. Fails with io or busy (another
/// benchsim holds the folder), leaving nothing half-made.
Result<void> serve_bench(const BenchLinesOptions& options, const std::function<void()>& ready);

/// Sends one command line to the benchsim that serves `state` and gives its answer. Blocking, at most a few
/// seconds.
Result<std::string> ask_bench(const std::string& state, const std::string& command);

}  // namespace leadwright
