// SPDX-License-Identifier: Apache-2.0
// Reading a stored JSON array item by item. Inside this folder's .cpp files only: it shows the JSON library.
#pragma once

#include <boost/json.hpp>
#include <string>
#include <utility>
#include <vector>

#include "protocol/result.h"

namespace leadwright {

inline tl::unexpected<Error> unreadable(const char* what) {
  return fail(Errc::garbled, std::string("a stored list can't be read: ") + what);
}

/// Each item as `one` reads it; the first that can't be read is the error.
template <class T>
Result<std::vector<T>> each_of(const boost::json::value& list, Result<T> (*one)(const boost::json::value&)) {
  if (!list.is_array()) return unreadable("no JSON array");
  std::vector<T> items;
  for (const boost::json::value& item : list.get_array()) {
    Result<T> read = one(item);
    if (!read) return tl::unexpected<Error>(std::move(read.error()));
    items.push_back(std::move(*read));
  }
  return items;
}

}  // namespace leadwright
