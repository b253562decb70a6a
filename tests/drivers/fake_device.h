// SPDX-License-Identifier: Apache-2.0
// The least device that speaks SCPI well enough to be driven: what it heard, what it answers, and how it can
// misbehave. Not a simulated instrument: those are in tools/benchsim.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "drivers/memory_link.h"

namespace leadwright {

class FakeDevice final : public MemoryDevice {
 public:
  std::string identity = "Leadwright,simulated load,L1,sim-240";
  std::vector<std::string> heard;               ///< every message, in order
  std::map<std::string, std::string> answers;   ///< overrides, by whole message
  std::map<std::string, Second> answer_delays;  ///< by whole message
  std::map<std::string, int> swallowed;         ///< messages that it ignores so many times
  std::string volts = "12.600";
  bool is_on = true;
  bool refuses_off = false;
  bool is_mute = false;
  std::string amps_set = "25.000";
  std::string errors = "0,\"No error\"";

  void receive(std::string_view bytes, MemoryPort& port) override {
    pending_.append(bytes);
    for (std::size_t end = pending_.find('\n'); end != std::string::npos; end = pending_.find('\n')) {
      std::string message = pending_.substr(0, end);
      pending_.erase(0, end + 1);
      const std::string tag = take_tag(message);
      if (!message.empty()) handle(message, tag, port);
    }
  }

  std::size_t times_heard(const std::string& message) const {
    std::size_t count = 0;
    for (const std::string& one : heard) count += one == message ? 1 : 0;
    return count;
  }

 private:
  /// "*ESE 101;QUESTION?;*ESE?" becomes "QUESTION?"; gives ";101", or nothing for a message without a tag.
  static std::string take_tag(std::string& message) {
    constexpr std::string_view tail = ";*ESE?";
    const std::size_t head = message.find(';');
    if (!message.starts_with("*ESE ") || !message.ends_with(tail) || head + tail.size() == message.size())
      return {};
    std::string tag = ";" + message.substr(5, head - 5);
    message = message.substr(head + 1, message.size() - head - 1 - tail.size());
    return tag;
  }

  void handle(const std::string& message, const std::string& tag, MemoryPort& port) {
    heard.push_back(message);
    const auto ignored = swallowed.find(message);
    if (is_mute || (ignored != swallowed.end() && ignored->second-- > 0)) return;
    const std::string answer = answers.contains(message) ? answers[message] : act(message);
    if (answer.empty()) return;
    const auto delay = answer_delays.find(message);
    port.deliver(answer + tag + "\n", delay == answer_delays.end() ? Second(0.0) : delay->second);
  }

  std::string act(const std::string& message) {
    if (message == "INP ON") is_on = true;
    if (message == "INP OFF" && !refuses_off) is_on = false;
    if (message.starts_with("CURR ")) amps_set = message.substr(5);
    if (message.starts_with("*ESE ")) return message.substr(5, message.find(';') - 5);
    if (message == "*IDN?") return identity;
    if (message == "*ESR?") return "0";
    if (message == "INP?") return is_on ? "1" : "0";
    if (message == "CURR?") return amps_set;
    if (message == "SYST:ERR?") return std::exchange(errors, "0,\"No error\"");
    if (message == "MEAS:VOLT?;:MEAS:CURR?") return volts + ";" + (is_on ? amps_set : "0.000");
    return {};
  }

  std::string pending_;
};

}  // namespace leadwright
