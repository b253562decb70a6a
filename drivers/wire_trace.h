// SPDX-License-Identifier: Apache-2.0
// The last bytes that crossed one link, in a ring of fixed size: what a person reads after something broke.
// Shared by the instruments of the link and its tap. Thread: control. Never: allocates or throws while it
// listens, so that it may hear the off path. Read next: link.h (WireTap).
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "drivers/link.h"

namespace leadwright {

class WireTrace {
 public:
  static constexpr std::size_t lines_max = 1000;
  static constexpr std::size_t bytes_max = 65'536;
  /// Of one line; what is longer is cut, and its length says so.
  static constexpr std::size_t line_bytes_max = 1024;

  enum class Way { out, in, note };
  struct Line {
    std::uint64_t number = 0;  ///< from 1, without gaps
    Instant at;                ///< machine time
    Utc bench_at;
    Way way = Way::note;
    std::string bytes;       ///< as they crossed, or the words of a note
    std::size_t length = 0;  ///< before they were cut
  };

  /// Clocks as for an instrument; both must outlive the trace.
  WireTrace(const Clock& machine, const Clock& bench);

  /// Hears the link from now on, beside whoever hears it already. A trace hears one link, a link has one
  /// trace.
  static void listen(const std::shared_ptr<WireTrace>& trace, Link& link);
  /// The link is heard as before listen(); what was heard stays. Not from within a tap.
  void leave(Link& link);
  bool is_on() const { return is_on_; }

  /// Words among the bytes, as "bay-1 tripped".
  void note(std::string_view words) noexcept { keep(Way::note, words, machine_.now()); }

  /// Instant from which the trace counts its seconds.
  Instant zero() const { return zero_; }
  /// Numbers of the oldest line that is left and of the newest; 0 and 0 if there is none.
  std::uint64_t oldest() const { return count_ == 0 ? 0 : newest_ + 1 - count_; }
  std::uint64_t newest() const { return newest_; }
  /// Lines with a larger number, oldest first.
  std::vector<Line> after(std::uint64_t number) const;

 private:
  struct Entry {
    Instant at;
    Utc bench_at;
    Way way;
    std::size_t begin;  ///< in bytes since the trace began; the ring holds the last of them
    std::size_t kept;
    std::size_t length;
  };
  void keep(Way way, std::string_view bytes, Instant at) noexcept;
  const Entry& entry(std::uint64_t number) const { return entries_[number % lines_max]; }

  const Clock& machine_;
  const Clock& bench_;
  Instant zero_;
  bool is_on_ = false;
  WireTap earlier_;
  std::vector<Entry> entries_;
  std::string ring_;
  std::uint64_t newest_ = 0;
  std::size_t count_ = 0;
  std::size_t end_ = 0;  ///< bytes kept since the trace began
};

const char* word(WireTrace::Way way);

}  // namespace leadwright
