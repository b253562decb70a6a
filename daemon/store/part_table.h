// SPDX-License-Identifier: Apache-2.0
// The user's own list of parts: a part number and what the labels of that part say, so that one scan fills
// them in. Pure after reading; any thread.
//
// Comma-separated (RFC 4180 without line breaks inside a field), UTF-8. The first line that is neither empty
// nor begins with # names the columns: part, chemistry and cells, and any of cca_a, cca_standard,
// reserve_capacity_min, reserve_capacity_standard, c20_ah, c20_standard, size_code. An empty field is not
// stated.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/battery/nameplate.h"
#include "protocol/result.h"

namespace leadwright {

class PartTable {
 public:
  /// By number as scanned: without spaces around it, small and capital letters alike. Null if it is not
  /// there.
  const Nameplate* find(std::string_view part) const;
  std::size_t size() const { return parts_.size(); }

 private:
  friend tl::expected<PartTable, std::vector<Error>> read_parts(std::string_view text,
                                                                const std::string& file);
  std::map<std::string, Nameplate, std::less<>> parts_;
};

/// Each mistake is one error, `where` being "FILE:LINE" or "FILE:LINE: column": unknown columns, fields too
/// many or too few, what no label says, a part that stands twice.
tl::expected<PartTable, std::vector<Error>> read_parts(std::string_view text, const std::string& file);

/// The same from a file; one that can't be read is one error.
tl::expected<PartTable, std::vector<Error>> load_parts(const std::string& path);

}  // namespace leadwright
