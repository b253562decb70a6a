// SPDX-License-Identifier: Apache-2.0
// The one error type and the one result type of the control path. Lowest header of the tree: everything may
// include it. Errors are values; exceptions are for start-up and for the edges of outside libraries.
#pragma once

#include <string>
#include <tl/expected.hpp>
#include <utility>

namespace leadwright {

enum class Errc {
  bad_input,     ///< a person or a file said something that can't be right
  not_found,     ///< a name that nothing has
  conflict,      ///< right in itself, but not in the present state
  refused,       ///< refused for safety; no role can override it
  timed_out,     ///< no answer before the deadline
  link_lost,     ///< the link is closed or the device is gone
  garbled,       ///< an answer that can't be read, or that answers another question
  not_verified,  ///< written, but the read-back differs
  unsupported,   ///< the instrument or the profile can't do this
  stopped,       ///< a person or a protection stopped it
  busy,          ///< try again later
  io,            ///< file, disk or operating system
  bug,           ///< our own fault
};

/// Stable word for an error code, as used in JSON and logs ("timed_out").
const char* word(Errc code);

/// What went wrong, where, and how to mend it. `where` is a link, a place, a key or file:line:column.
struct Error {
  Errc code = Errc::bug;
  std::string what;
  std::string where;
  std::string mend;

  /// "where: what: mend", leaving out what is empty. One line.
  std::string line() const;
};

template <class T>
using Result = tl::expected<T, Error>;

inline tl::unexpected<Error> fail(Errc code, std::string what, std::string where = {},
                                  std::string mend = {}) {
  return tl::unexpected<Error>(Error{code, std::move(what), std::move(where), std::move(mend)});
}

/// Passes an error on, unchanged, from a result of another type.
template <class T>
tl::unexpected<Error> pass(tl::expected<T, Error>& failed) {
  return tl::unexpected<Error>(std::move(failed.error()));
}

}  // namespace leadwright
