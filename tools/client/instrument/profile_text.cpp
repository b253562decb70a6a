// SPDX-License-Identifier: Apache-2.0
#include "tools/client/instrument/profile_text.h"

#include <fmt/format.h>

#include <cmath>

namespace leadwright {

std::string number(double value) {
  return fmt::format("{}", value);
}

std::string ms(Second time) {
  return number(std::round(time.si() * 1e6) / 1e3) + " ms";
}

std::string tolerance(double absolute, double relative, const char* unit) {
  std::string fixed = number(absolute) + " " + unit;
  if (!(relative > 0.0)) return fixed;
  const std::string share = number(relative * 100.0) + " % of it";
  return absolute > 0.0 ? fixed + " or " + share + ", whichever is more" : share;
}

std::string kinds(const LinkNeeds& link) {
  std::string text;
  for (const LinkAddress::Kind kind : link.allowed) {
    const std::string address = LinkAddress{kind, {}}.text();
    text.append(text.empty() ? "" : " or ").append(address.substr(0, address.find(':')));
  }
  return text;
}

std::string settings_of(const SerialSettings& serial) {
  const char parity = serial.parity == SerialSettings::Parity::none   ? 'N'
                      : serial.parity == SerialSettings::Parity::even ? 'E'
                                                                      : 'O';
  return fmt::format("{} {}{}{}", serial.baud, serial.bits, parity, serial.stop);
}

std::string listed(const std::vector<std::string>& parts, const char* between) {
  std::string text;
  for (const std::string& part : parts) text.append(text.empty() ? "" : between).append(part);
  return text;
}

}  // namespace leadwright
