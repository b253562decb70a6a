// SPDX-License-Identifier: Apache-2.0
#include "tools/simtest_world/tally.h"

#include <istream>
#include <ostream>

namespace leadwright {

void Tally::write(std::ostream& to) const {
  for (const auto& [name, count] : counts_) to << count << ' ' << name << '\n';
}

void Tally::read(std::istream& from) {
  std::uint64_t count = 0;
  std::string name;
  while (from >> count && from.get() == ' ' && std::getline(from, name)) add(name, count);
}

}  // namespace leadwright
