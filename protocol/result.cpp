// SPDX-License-Identifier: Apache-2.0
#include "protocol/result.h"

namespace leadwright {

const char* word(Errc code) {
  switch (code) {
    case Errc::bad_input:
      return "bad_input";
    case Errc::not_found:
      return "not_found";
    case Errc::conflict:
      return "conflict";
    case Errc::refused:
      return "refused";
    case Errc::timed_out:
      return "timed_out";
    case Errc::link_lost:
      return "link_lost";
    case Errc::garbled:
      return "garbled";
    case Errc::not_verified:
      return "not_verified";
    case Errc::unsupported:
      return "unsupported";
    case Errc::stopped:
      return "stopped";
    case Errc::busy:
      return "busy";
    case Errc::io:
      return "io";
    case Errc::bug:
      return "bug";
  }
  return "bug";
}

std::string Error::line() const {
  std::string text;
  for (const std::string* part : {&where, &what, &mend}) {
    if (part->empty()) continue;
    if (!text.empty()) text += ": ";
    text += *part;
  }
  return text;
}

}  // namespace leadwright
