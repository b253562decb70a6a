// SPDX-License-Identifier: Apache-2.0
// Every byte that crossed the links of a virtual world, with its time and its direction, and what the bytes
// of the simulated loads and chargers mean. For: tests that judge the daemon by what it said on the wire.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "drivers/link.h"

namespace leadwright {

/// One write of the daemon, or one delivery to it.
struct Crossing {
  bool outward = false;
  std::string bytes;
  Instant at;
};

/// A question, and the whole answer that the instrument gave to this very question.
struct WireExchange {
  std::string question;
  Instant asked;
  std::string answer;
  Instant answered;
};

class WorldWireLog {
 public:
  /// For WorldOptions::tap. The log outlives the world.
  WireTap tap();
  void clear() { links_.clear(); }

  /// Links bear their address: "memory:bay-1.load".
  const std::vector<Crossing>& of(const std::string& link) { return links_[link]; }
  /// What the daemon said there from `since` on.
  std::vector<Crossing> said(const std::string& link, Instant since);

  /// The word, or the frame, that switches an input or output on or off. SCPI off may bring CURR 0 along.
  static bool switches_on(std::string_view bytes);
  static bool switches_off(std::string_view bytes);
  /// Switches on, or sets volts or amps other than zero.
  static bool energises(std::string_view bytes);
  /// How often the daemon switched on, energised or switched off there from `since` on.
  int on_count(const std::string& link, Instant since);
  int energy_count(const std::string& link, Instant since);
  int off_count(const std::string& link, Instant since);
  std::optional<Instant> first_off(const std::string& link, Instant since);

  /// Question and answer paired by their order, which is right where every question is answered once and
  /// nothing is lost. `doubled`: an answer that comes twice at one instant counts once.
  std::vector<WireExchange> exchanges(const std::string& link, bool doubled);
  /// Volts and amps of the answer to the question for a sample; nothing if it is none.
  struct Sampled {
    double volts;
    double amps;
  };
  static std::optional<Sampled> sampled(const WireExchange& exchange);

 private:
  std::map<std::string, std::vector<Crossing>> links_;
};

}  // namespace leadwright
