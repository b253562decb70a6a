// SPDX-License-Identifier: Apache-2.0
// A battery's label from the command line or from the bench's list of parts, as JSON. Inside this folder's
// .cpp files only, since it names Boost.
#pragma once

#include <boost/json/object.hpp>
#include <string>
#include <string_view>

#include "protocol/result.h"
#include "tools/client/options.h"

namespace leadwright {

/// Adds a text that was given.
void set_text(boost::json::object& object, std::string_view key, const std::string& value);

/// Adds a number in the option's unit that was given. Fails with bad_input.
struct TypedAmount {
  std::string_view key;
  const std::string& text;
  std::string_view option;  ///< "--drain", for the error
  std::string_view unit;
  double factor = 1.0;  ///< from that unit to the key's
};
Result<void> set_amount(boost::json::object& object, const TypedAmount& amount);

/// What was typed, over `part`, which is what the bench knows of its part. `prefix` stands before each option
/// in an error: "--vehicle-". Fails with bad_input.
Result<boost::json::object> label_json(const LabelOptions& options, boost::json::object part = {},
                                       const std::string& prefix = "--");

/// What the bench's list of parts says of one; empty without a part. Fails as ask() does.
Result<boost::json::object> part_label(const ClientOptions& client, const std::string& part);

}  // namespace leadwright
