// SPDX-License-Identifier: Apache-2.0
// What a date code that is stamped on a case may mean. Codes are short and differ, so one code often means
// several months: then a person is asked, and nothing is guessed. Pure; any thread. Shared domain notes,
// section 9.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "daemon/clock/instant.h"

namespace leadwright {

/// Every month that it may mean ("2024-03"), newest first; none if it is no code that we know:
/// - "C4", "C24": a letter for the month (F: A is January, L or M December; M: I is often skipped, so that J
///   and what follows may be one of two months), then the last digit or two of the year;
/// - "11 19", "11/19": month and year; "02 11 19": day, month and year (F: JIS D 5306).
/// Left out are months after `latest`, and those more than 15 years before it (P: no starter battery is that
/// old).
std::vector<std::string> months_of_date_code(std::string_view code, Utc latest);

}  // namespace leadwright
