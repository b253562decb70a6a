// SPDX-License-Identifier: Apache-2.0
// Reading a small text file whole: the files that a person edits.
#pragma once

#include <string>

#include "protocol/result.h"

namespace leadwright {

/// The bytes of a file of at most 256 KiB. Fails with io, or bad_input if it is larger, naming the file.
Result<std::string> read_text_file(const std::string& path);

}  // namespace leadwright
