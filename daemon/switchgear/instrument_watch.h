// SPDX-License-Identifier: Apache-2.0
// Keeps what a person asks about an instrument that is not itself: since when it is in its state, what went
// wrong last, and the trace of its link. Owned by whoever owns the instrument. Thread: control. Never: asks
// the instrument anything, decides anything. Read next: ../place/instruments.h (who tells it),
// ../queue/supervision.h (who shows it).
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "daemon/clock/clock.h"
#include "drivers/instrument.h"
#include "drivers/wire_trace.h"

namespace leadwright {

class InstrumentWatch {
 public:
  /// Machine time after an alarm until the trace goes to the event log, so that the bytes after it are there.
  static constexpr Second dump_after{1.0};
  /// Lines of the trace before an alarm that go to the event log, and lines in all.
  static constexpr std::uint64_t dump_before = 40;
  static constexpr std::size_t dump_lines_max = 100;

  InstrumentWatch(Instrument& instrument, Clocks clocks);

  Instrument& instrument() const { return instrument_; }

  struct Standing {
    LinkState state = LinkState::closed;
    Utc since;  ///< bench time
  };
  /// A lost instrument is lost until it is identified again, however often it is tried meanwhile.
  Standing standing() const;

  struct Trouble {
    Utc at;  ///< bench time
    std::string what;
  };
  /// What went wrong last, also if it went well when asked again; absent if nothing ever did.
  const std::optional<Trouble>& trouble() const { return trouble_; }

  /// It is about to be connected.
  void connecting();
  /// It was asked something, and this came of it: an error, or null.
  void asked(const Error* error);

  /// Absent until it was switched on for the first time. Instruments of one link share it.
  const std::shared_ptr<WireTrace>& trace() const { return trace_; }
  void share(std::shared_ptr<WireTrace> trace) { trace_ = std::move(trace); }
  bool is_traced() const { return trace_ && trace_->is_on(); }
  /// Words into the trace, if it is on; an alarm brings the lines around it to the event log as well.
  void note(std::string_view words);
  void alarm(std::string_view words);

 private:
  void stand(LinkState state, const Error* error);
  void dump();

  Instrument& instrument_;
  Clocks clocks_;
  Standing standing_;
  std::optional<Utc> connecting_since_;
  std::optional<Trouble> trouble_;
  std::uint64_t time_outs_ = 0;
  std::uint64_t garbles_ = 0;
  std::shared_ptr<WireTrace> trace_;
  Timer dump_timer_;
  bool dump_is_due_ = false;
  std::uint64_t dumped_ = 0;  ///< number of the line that went to the event log last
};

}  // namespace leadwright
