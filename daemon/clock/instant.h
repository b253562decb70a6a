// SPDX-License-Identifier: Apache-2.0
// Points in time. Instant is monotonic and means nothing outside this process; Utc is for people and storage.
#pragma once

#include <compare>
#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <string_view>

#include "daemon/quantities/quantity.h"

namespace leadwright {

/// Monotonic bench time in nanoseconds since an arbitrary zero.
class Instant {
 public:
  constexpr Instant() = default;
  constexpr explicit Instant(std::int64_t ns) : ns_(ns) {}
  /// Later than every other instant: a wait without a deadline.
  static constexpr Instant never() { return Instant(std::numeric_limits<std::int64_t>::max()); }
  constexpr std::int64_t ns() const { return ns_; }
  constexpr auto operator<=>(const Instant&) const = default;

 private:
  std::int64_t ns_ = 0;
};

constexpr std::int64_t as_ns(Second time) {
  return static_cast<std::int64_t>(time.si() * 1e9);
}
constexpr Second operator-(Instant a, Instant b) {
  return Second(static_cast<double>(a.ns() - b.ns()) * 1e-9);
}
constexpr Instant operator+(Instant a, Second b) {
  return Instant(a.ns() + as_ns(b));
}
constexpr Instant operator-(Instant a, Second b) {
  return Instant(a.ns() - as_ns(b));
}
/// Middle of two instants: the time stamp of a reading taken between a request and its answer.
constexpr Instant midpoint(Instant a, Instant b) {
  return Instant(a.ns() + (b.ns() - a.ns()) / 2);
}

/// Nanoseconds since 1970-01-01T00:00:00Z, without leap seconds.
class Utc {
 public:
  constexpr Utc() = default;
  constexpr explicit Utc(std::int64_t ns) : ns_(ns) {}
  constexpr std::int64_t ns() const { return ns_; }
  constexpr auto operator<=>(const Utc&) const = default;
  /// "2026-01-31T13:45:10Z", RFC 3339, whole seconds.
  std::string rfc3339() const;
  /// Accepts "2026-01-31T13:45:10Z" (fraction ignored) and "2026-01-31", of the years 1678 to 2261; nothing
  /// else.
  static std::optional<Utc> parse(std::string_view text);
  /// The same, and "2026-01" as its first day: as labels and receipts state dates.
  static std::optional<Utc> parse_from_month(std::string_view text);

 private:
  std::int64_t ns_ = 0;
};

constexpr Second operator-(Utc a, Utc b) {
  return Second(static_cast<double>(a.ns() - b.ns()) * 1e-9);
}
constexpr Utc operator+(Utc a, Second b) {
  return Utc(a.ns() + as_ns(b));
}

}  // namespace leadwright
