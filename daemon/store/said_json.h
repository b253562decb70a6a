// SPDX-License-Identifier: Apache-2.0
// Sentences by their phrases as JSON, as they are stored and as the API gives them:
// [{"code":"rated","values":{"rated":{"value":110,"decimals":0,"unit":"min"},"made":"2019-05"}}]
// Strict: reading fails with garbled for anything else than what writing gives. Any thread.
#pragma once

#include <string>
#include <string_view>

#include "daemon/battery/ticket.h"
#include "protocol/result.h"

namespace boost::json {
class value;
}  // namespace boost::json

namespace leadwright {

std::string phrases_json(const Phrases& phrases);
Result<Phrases> phrases_of(const boost::json::value& json);
Result<Phrases> stored_phrases_of(std::string_view json);

/// {"reason":[],"next_why":[],"warranty":[],"flags":[[]]}
std::string said_json(const GradeSaid& said);
Result<GradeSaid> grade_said_of(std::string_view json);

}  // namespace leadwright
