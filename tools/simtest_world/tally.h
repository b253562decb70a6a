// SPDX-License-Identifier: Apache-2.0
// What happened in simulated worlds, counted by name. Values only; sums cross processes as text.
#pragma once

#include <cstdint>
#include <iosfwd>
#include <map>
#include <string>

namespace leadwright {

class Tally {
 public:
  void add(const std::string& name, std::uint64_t count = 1) { counts_[name] += count; }
  void add(const Tally& other) {
    for (const auto& [name, count] : other.counts_) counts_[name] += count;
  }
  std::uint64_t of(const std::string& name) const {
    const auto found = counts_.find(name);
    return found == counts_.end() ? 0 : found->second;
  }
  const std::map<std::string, std::uint64_t>& counts() const { return counts_; }

  /// One line a count.
  void write(std::ostream& to) const;
  /// Adds what write() wrote.
  void read(std::istream& from);

 private:
  std::map<std::string, std::uint64_t> counts_;
};

}  // namespace leadwright
