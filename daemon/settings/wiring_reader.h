// SPDX-License-Identifier: Apache-2.0
// Reads what is wired to a bench: instruments, boxes, contacts. Mistakes go to the document of the table.
// Private to this folder.
#pragma once

#include <optional>
#include <string>

#include "daemon/settings/settings.h"
#include "protocol/toml_reader.h"

namespace leadwright {

/// A name for addresses of the page, barcodes and log lines. `of` completes "is not a name for".
std::string read_name(const TomlTable& table, const char* of);

/// Paths of profiles are relative to `folder`.
InstrumentSettings read_instrument(const TomlTable& table, const std::string& folder);

/// The place's own, or { shared = "load-1", box = "box-1", output = 1 }.
void read_load_or_charger(const TomlTable& place, const char* role, const std::string& folder,
                          std::optional<InstrumentSettings>& own, std::optional<WaySettings>& shared);

ContactSettings read_contact(const TomlTable& table);
BoxSettings read_box(const TomlTable& table, const std::string& folder);
SharedSettings read_shared(const TomlTable& table, const std::string& folder);

}  // namespace leadwright
