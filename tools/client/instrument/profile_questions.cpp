// SPDX-License-Identifier: Apache-2.0
#include "tools/client/instrument/profile_questions.h"

#include <string>
#include <vector>

#include "drivers/answers.h"
#include "tools/client/instrument/message_guard.h"

namespace leadwright {

namespace {

constexpr char modbus_read_function_max = 4;

std::string with_number(std::string text) {
  constexpr std::string_view placeholder = "{n}";
  const std::size_t at = text.find(placeholder);
  if (at == std::string::npos) return text;
  return text.substr(0, at).append("1").append(text, at + placeholder.size(), text.npos);
}

std::vector<std::string> questions_of(const Profile& profile) {
  std::vector<std::string> questions{profile.identity.ask,
                                     profile.identity.simulated_ask,
                                     profile.sample_ask,
                                     profile.errors.ask,
                                     profile.errors.power_cycle_ask,
                                     with_number(profile.errors.fence),
                                     with_number(profile.outputs.ask),
                                     profile.inputs.ask};
  for (const SafeState::Check& check : profile.safe.checks) questions.push_back(check.ask);
  for (const Setting& setting : profile.settings) questions.push_back(setting.verify.ask);
  if (profile.draw) questions.push_back(profile.draw->ask);
  if (profile.give) questions.push_back(profile.give->ask);
  if (profile.faults) questions.push_back(profile.faults->ask);
  if (profile.heartbeat) questions.push_back(profile.heartbeat->armed.ask);
  return questions;
}

Result<void> check_question(const Profile& profile, const std::string& question) {
  if (profile.dialect == DialectKind::scpi) return check_only_asks(question);
  if (question.front() >= 1 && question.front() <= modbus_read_function_max) return {};
  return fail(Errc::refused, shown_message(question).append(" does more than ask"));
}

}  // namespace

Result<void> check_questions(const Profile& profile) {
  for (const std::string& question : questions_of(profile)) {
    if (question.empty()) continue;
    Result<void> only_asks = check_question(profile, question);
    if (only_asks) continue;
    only_asks.error().where = profile.file;
    only_asks.error().mend = "a probe only asks: write the profile's questions as questions";
    return only_asks;
  }
  return {};
}

}  // namespace leadwright
