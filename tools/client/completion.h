// SPDX-License-Identifier: Apache-2.0
// What a shell needs to complete the client's command line, out of the tree of its options, so that no word
// is listed twice in the sources. Sees the outside library: for the *_options.cpp alone. Pure.
#pragma once

#include <string>

#include "tools/client/cli.h"

namespace leadwright {

/// A script for bash, to be read with source.
std::string bash_completion(const CLI::App& app);

}  // namespace leadwright
