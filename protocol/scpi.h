// SPDX-License-Identifier: Apache-2.0
// SCPI-1999 and IEEE 488.2 text from the controller's side: pure functions, bytes in, values out. Views point
// into the text that was given. None of them throws, and none but those that return a string allocates.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace leadwright {

/// A numeric answer. `missing`: infinite, overloaded or not a number (abs(x) >= 9.9E37, or the words INF and
/// NAN that some firmware prints): never a value.
struct ScpiNumber {
  double value = 0.0;
  bool missing = false;
};

/// NR1, NR2 or NR3 with an optional plus sign and surrounding blanks; nothing else, no unit suffix.
std::optional<ScpiNumber> read_scpi_number(std::string_view text) noexcept;
/// 0, 1, ON or OFF in either case; a number counts as true unless it rounds to zero.
std::optional<bool> read_scpi_boolean(std::string_view text) noexcept;
/// "..." or '...' with doubled quotes inside.
std::optional<std::string> read_scpi_string(std::string_view text);

/// One entry of an error queue.
struct ScpiFault {
  int number = 0;
  std::string text;
};
/// `-113,"Undefined header;CURRR 1"`. The text may be absent; the number may not.
std::optional<ScpiFault> read_scpi_fault(std::string_view text);

/// The four fields of an answer to *IDN?; a field may be empty, and "0" stands for unknown.
struct ScpiIdentity {
  std::string_view maker;
  std::string_view model;
  std::string_view serial;
  std::string_view firmware;
};
/// Absent unless there are exactly four fields.
std::optional<ScpiIdentity> read_scpi_identity(std::string_view text) noexcept;

/// A block of IEEE 488.2 at the front of an answer: bytes of any value, read by their count, so that a line
/// end among them is data.
struct ScpiBlock {
  enum class Kind {
    incomplete,   ///< wait for more
    complete,     ///< `bytes` are its data
    not_a_block,  ///< something else, or a block that ended before its count
  } kind = Kind::incomplete;
  std::string_view bytes;
  /// Bytes from the front of the answer to the block's end, `#` and count included, also while it is
  /// incomplete; 0 while unknown. What follows is the rest of the answer and its end.
  std::size_t size = 0;
};
/// `#15HELLO` (definite: the number of digits of the count, the count, the data), or `#0HELLO` (indefinite),
/// which lasts until its message ends. `ended` says that the last of `came` ended a message: only a link of
/// whole messages knows (Link::message_ended). The one line end before that is not data. Once ended, nothing
/// is incomplete. Blanks in front are skipped.
ScpiBlock read_scpi_block(std::string_view came, bool ended = false) noexcept;

/// Splits an answer at every `;` (between answers of one message) and `,` (inside one) outside quotes, blanks
/// trimmed. Returns how many fields there are, also when that is more than `into` holds.
std::size_t split_scpi_answer(std::string_view answer, std::span<std::string_view> into) noexcept;

/// Without leading and trailing blanks, control characters and NUL.
std::string_view trim_scpi(std::string_view text) noexcept;

/// "25.000": fixed point with `decimals` digits, never -0. Result points into `room`, which must hold 48
/// characters; values beyond 1e30 give an empty text.
std::string_view write_scpi_number(double value, int decimals, std::span<char, 48> room) noexcept;

}  // namespace leadwright
