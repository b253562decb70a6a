// SPDX-License-Identifier: Apache-2.0
// What crossed a link, kept and shown. For: the probe and the console. Owned by them; outlives its link's
// tap. Thread: that of the link.
#pragma once

#include <cstddef>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/clock/instant.h"
#include "drivers/link.h"

namespace leadwright {

struct WirePiece {
  bool outward = false;  ///< from us to the instrument
  std::string bytes;
  Instant at;  ///< on the link's clock
};

class WireLog {
 public:
  /// Hears a link from now on. The log must outlive the link.
  void listen(Link& link);
  /// Called with every piece; empty: nobody.
  std::function<void(const WirePiece&)> heard;

  const std::vector<WirePiece>& pieces() const { return pieces_; }
  /// Everything that came in, as one text.
  std::string inward() const;
  void forget() { pieces_.clear(); }

  /// Beyond this nothing more is kept: an instrument that never stops talking must not fill the memory.
  static constexpr std::size_t pieces_max = 20'000;

 private:
  std::vector<WirePiece> pieces_;
};

/// "MEAS:VOLT?\n" with line ends spelt out; "hex 01 03 00 00" for what is not all printable. Long bytes are
/// cut.
std::string shown_bytes(std::string_view bytes);
/// "    12.3 ms  >  *IDN?\n", with the time since `zero`.
std::string shown_piece(const WirePiece& piece, Instant zero);

/// The time of each exchange: from an outward piece to the last inward one before the next outward. What was
/// not answered has none.
std::vector<Second> exchange_times(const std::vector<WirePiece>& pieces);

}  // namespace leadwright
