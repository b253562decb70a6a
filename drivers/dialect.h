// SPDX-License-Identifier: Apache-2.0
// What differs on the line between SCPI text and Modbus: how a message becomes bytes, when bytes are its
// answer, how both ends get back in step. Pure but for its counter of questions. Owned by a Conversation.
// Never: does I/O. Read next: conversation.h (who asks), scpi_dialect.cpp, modbus_dialect.cpp.
#pragma once

#include <memory>
#include <string>
#include <string_view>

#include "drivers/profile.h"
#include "protocol/result.h"

namespace leadwright {

/// What came so far, read as the answer to the last framed message.
struct Heard {
  enum class Kind {
    incomplete,  ///< wait for more
    answer,      ///< `answer` is it, and nothing came after it
    garbled,     ///< it can't become the answer any more; `why` says what is wrong
  } kind = Kind::incomplete;
  std::string_view answer;  ///< points into what came
  const char* why = "";
};

class Dialect {
 public:
  virtual ~Dialect() = default;

  /// Appends the bytes of `message`, which hear() then expects the answer to.
  virtual void frame(std::string_view message, std::string& wire) = 0;
  /// Whether anything comes back.
  virtual bool is_answered(std::string_view message) const = 0;
  /// `came` is everything since the message went out; what surely belongs to another question is taken out of
  /// it. `ended`: the link says that this is the end of a message.
  virtual Heard hear(std::string_view message, std::string& came, bool ended) const = 0;
  /// What the device says about `message` in a well-formed answer: an exception is its error.
  virtual Result<void> check(std::string_view message, std::string_view answer) const = 0;

  /// A message whose answer can't be mistaken for that to `lost`; empty if there is none, or none is needed.
  virtual std::string fence(std::string_view lost) = 0;
  /// As hear(), for a fence.
  virtual Heard hear_fence(std::string_view fence, std::string& came, bool ended) const = 0;

  /// The off path as one piece of bytes for the kernel; the rest of the safe sequence follows with its
  /// answers.
  virtual std::string off_bytes(const Profile& profile) = 0;
  /// One message of the off path.
  virtual std::string off_bytes(std::string_view message) = 0;
  /// Ends whatever a former owner, or noise, left half-sent; empty if silence does.
  virtual std::string_view opening() const = 0;
  /// Both directions share the wires: nothing may be sent while an answer is due.
  virtual bool is_half_duplex() const = 0;
};

/// For messages over a link of this kind to this unit.
std::unique_ptr<Dialect> make_dialect(const Profile& profile, LinkAddress::Kind kind, int unit);

}  // namespace leadwright
