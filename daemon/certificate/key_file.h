// SPDX-License-Identifier: Apache-2.0
// The bench's signing key in its state folder. Blocks on the disk: never on control's thread.
#pragma once

#include <string>

#include "daemon/certificate/signing.h"

namespace leadwright {

/// The key of this state folder, made at first use with rights for its owner alone (0600). Of two programs
/// that make it at the same time one wins and both read that one. Fails with io if it can't be made or read,
/// with refused if others may read it, with bad_input if it is no key; never makes a new one in its place.
Result<SigningKey> bench_key(const std::string& state_folder);

/// Where it lies: "certificate.key" in that folder.
std::string key_path(const std::string& state_folder);

}  // namespace leadwright
