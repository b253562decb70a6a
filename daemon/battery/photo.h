// SPDX-License-Identifier: Apache-2.0
// A photo of a battery, kept with its ticket: the label, the damage, what a person saw when they were asked.
// It proves nothing and no grade reads it. It may be erased; what the audit says of it are its number and
// that it was. Values only; daemon/queue/photo_commands.cpp has the rules.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "daemon/battery/ticket.h"

namespace leadwright {

enum class PhotoId : std::int64_t {};

/// "H-000012": number on the bench. parse accepts what shown gives, else bad_input.
std::string shown(PhotoId id);
Result<PhotoId> parse_photo_id(std::string_view text);

struct Photo {
  /// Of the JPEG, in bytes: 1,600 x 1,200 points at a fair quality.
  static constexpr std::size_t bytes_max = 262144;
  static constexpr std::size_t about_length_max = 200;  ///< in bytes
  static constexpr std::size_t of_a_ticket_max = 12;

  PhotoId id{};
  TicketId ticket{};
  RunId run{};             ///< whose question it answers; none if it was not asked for
  std::string about;       ///< one line: the question, or what its taker says of it
  Utc at;                  ///< when it was handed in
  std::int64_t bytes = 0;  ///< of the JPEG; 0 once it is erased
  std::string jpeg = {};   ///< only on its way into the store
};

}  // namespace leadwright
