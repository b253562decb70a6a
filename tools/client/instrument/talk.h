// SPDX-License-Identifier: Apache-2.0
// A console to one instrument, line by line. For: `leadwright instrument talk`. Owns nothing but the
// conversation. Thread: that of the link. Never: sends what message_guard.h does not let through.
#pragma once

#include <string>
#include <vector>

#include "drivers/link.h"
#include "drivers/profile.h"

namespace leadwright {

struct TalkReply {
  enum class Kind {
    answered,  ///< `text` is the answer
    sent,      ///< a message without an answer
    silent,    ///< a question, and nothing came in time
    refused,   ///< not sent; `text` says why
  } kind = Kind::sent;
  std::string text;
  Second took;
};
const char* word(TalkReply::Kind kind);

class Talk {
 public:
  /// `profile` may be null; its words for the safe state are then not known. It must be one of text. Link and
  /// profile outlive it. `kind` is that of the link.
  Talk(Link& link, LinkAddress::Kind kind, Clock& machine, const Profile* profile, Second patience);

  /// Opens the link; the profile's words for the safe state go first. Fails as Link::open.
  Task<Result<void>> open();
  /// One line from a person or a script. Fails with link_lost; a refusal or silence is a reply.
  Task<Result<TalkReply>> say(std::string line);
  /// The profile's words for the safe state, at once, whatever is pending. True if there are none, or the
  /// kernel took them.
  bool off_now() noexcept;
  /// Reads back that it is off, by the profile. Fails with not_verified, timed_out or link_lost.
  Task<Result<void>> prove_off();

 private:
  Task<void> keep_gap();

  Link& link_;
  Clock& machine_;
  const Profile* profile_;
  Second patience_;
  std::vector<std::string> safe_commands_;
  std::string opening_;
  std::string off_bytes_;
  bool is_in_step_ = true;
  Instant next_message_at_{INT64_MIN};
};

/// "< 12.600  3.2 ms", "sent", "no answer in 2000 ms", "refused: ...".
std::string show_reply(const TalkReply& reply, Second patience);
/// {"line":"*IDN?","reply":"answered","text":"...","took_ms":3.2}; took_ms is null unless answered.
std::string reply_json(const std::string& line, const TalkReply& reply);

}  // namespace leadwright
