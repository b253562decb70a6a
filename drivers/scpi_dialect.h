// SPDX-License-Identifier: Apache-2.0
// SCPI text on a line: messages ended by a line feed, answers of one line each. Where the profile allows it,
// each question carries a number that comes back behind its answer (the event status enable register, which
// nothing else uses): an answer that is late or doubled shows another number and is dropped.
#pragma once

#include <string>
#include <string_view>

#include "drivers/dialect.h"

namespace leadwright {

class ScpiDialect final : public Dialect {
 public:
  ScpiDialect(const Profile& profile, bool one_message_a_write)
      : profile_(profile), one_message_a_write_(one_message_a_write) {}

  void frame(std::string_view message, std::string& wire) override;
  bool is_answered(std::string_view message) const override;
  Heard hear(std::string_view message, std::string& came, bool ended) const override;
  Result<void> check(std::string_view, std::string_view) const override { return {}; }
  std::string fence(std::string_view lost) override;
  Heard hear_fence(std::string_view fence, std::string& came, bool ended) const override;
  std::string off_bytes(const Profile& profile) override;
  std::string off_bytes(std::string_view message) override;
  std::string_view opening() const override { return "\n"; }
  bool is_half_duplex() const override { return false; }

  // Not the small numbers that a late answer to another question could be.
  static constexpr int number_min = 100;
  static constexpr int number_max = 255;

 private:
  bool is_tagged(std::string_view message) const;
  void next_number();

  const Profile& profile_;
  bool one_message_a_write_;
  int number_ = number_min;
};

}  // namespace leadwright
