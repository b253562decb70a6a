// SPDX-License-Identifier: Apache-2.0
// Canned instruments on pseudo-terminals and TCP ports of this machine, answered by a thread of their own, so
// that the CPU time of the thread that asks is that of our side alone.
#pragma once

#include <atomic>
#include <memory>
#include <string>
#include <thread>
#include <vector>

#include "drivers/link.h"
#include "tools/benchmarks/canned.h"

namespace leadwright {

class Responder {
 public:
  Responder() = default;
  Responder(const Responder&) = delete;
  Responder& operator=(const Responder&) = delete;
  /// Ends the thread.
  ~Responder();

  /// Before start(). Where the instrument is reached; it must outlive this. Ends the program where the
  /// machine has no terminal or port left.
  LinkAddress add(LinkAddress::Kind kind, Canned& instrument);
  /// `before_others`: its thread is, see run_before_others().
  void start(bool before_others = false);

 private:
  struct Station {
    Canned* instrument = nullptr;
    int descriptor = -1;
    bool is_listening = false;
    int kept_open = -1;  ///< the other side of a terminal, which hangs up when nobody has it
  };
  void serve();
  /// False once its client has gone.
  static bool answer(Station& station, std::string& answers);

  std::vector<Station> stations_;
  int wake_ = -1;
  std::thread thread_;
};

/// A descriptor to what `address` names, blocking and raw: for the bare ping-pong.
int open_bare(const LinkAddress& address);

}  // namespace leadwright
