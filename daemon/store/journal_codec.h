// SPDX-License-Identifier: Apache-2.0
// A run's journal as JSON text, for the store alone. Numbers come back as the same value. Pure; any thread.
#pragma once

#include <string>
#include <string_view>

#include "daemon/battery/journal.h"
#include "protocol/result.h"

namespace leadwright {

/// At most some kilobytes: it holds spans and findings of a run, never its samples.
std::string encode_journal(const RunJournal& journal);
/// Fails with garbled for another format and for anything else than what encode_journal() gives: whatever is
/// in doubt is not gone on with.
Result<RunJournal> decode_journal(std::string_view text);

}  // namespace leadwright
