// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/scpi_device.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "protocol/ascii.h"

namespace leadwright {

namespace {

constexpr std::size_t message_max = 4096;
constexpr std::size_t errors_max = 16;
constexpr std::size_t spellings_max = 256;

// Event status bits, IEEE 488.2: shared/instruments.md, section 1.
constexpr unsigned operation_complete = 0x01;
constexpr unsigned power_on = 0x80;
unsigned event_bit(int number) {
  if (number <= -400) return 0x04;
  if (number <= -300 || number > 0) return 0x08;
  if (number <= -200) return 0x10;
  return 0x20;
}

bool is_blank(char c) {
  return static_cast<unsigned char>(c) <= ' ';
}

std::string_view trim(std::string_view text) {
  while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && is_blank(text.back())) text.remove_suffix(1);
  return text;
}

/// Takes the text up to the next `;` outside quotes off `rest`.
std::string_view take_unit(std::string_view& rest) {
  char quote = 0;
  std::size_t end = 0;
  for (; end < rest.size(); ++end) {
    const char c = rest[end];
    if (quote != 0) {
      if (c == quote) quote = 0;
    } else if (c == '"' || c == '\'') {
      quote = c;
    } else if (c == ';') {
      break;
    }
  }
  const std::string_view unit = rest.substr(0, end);
  rest.remove_prefix(std::min(end + 1, rest.size()));
  return unit;
}

}  // namespace

ScpiDevice::ScpiDevice(std::string identity) : identity_(std::move(identity)) {
  add_common();
}

void ScpiDevice::on(std::string_view pattern, Handler handler) {
  commands_.push_back({std::string(pattern), std::move(handler)});
}

void ScpiDevice::receive(std::string_view bytes, std::string& answers) {
  while (!bytes.empty()) {
    const std::size_t end = bytes.find('\n');
    const std::string_view part = bytes.substr(0, end);
    if (!overrun_) input_.append(part.substr(0, message_max + 1));
    if (input_.size() > message_max) {
      overrun_ = true;
      input_.clear();
    }
    if (end == std::string_view::npos) return;
    bytes.remove_prefix(end + 1);
    if (overrun_) {
      error(-363, "Input buffer overrun");
    } else {
      message(input_, answers);
    }
    overrun_ = false;
    input_.clear();
  }
}

void ScpiDevice::forget_input() {
  input_.clear();
  overrun_ = false;
}

void ScpiDevice::restart() {
  forget_input();
  errors_.clear();
  event_status_ = power_on;
  event_enable_ = service_enable_ = 0;
}

void ScpiDevice::message(std::string_view text, std::string& answers) {
  begin_message();
  answer_.clear();
  std::string path;
  while (!text.empty()) {
    const std::string_view next = trim(take_unit(text));
    if (!next.empty()) unit(next, path, answer_);
  }
  if (answer_.empty()) return;
  answers += answer_;
  answers += '\n';
}

void ScpiDevice::unit(std::string_view text, std::string& path, std::string& answer) {
  const auto blank = std::find_if(text.begin(), text.end(), is_blank);
  const std::string_view sent = text.substr(0, static_cast<std::size_t>(blank - text.begin()));
  const bool common = sent.front() == '*';
  header_.clear();
  if (common || sent.front() == ':') {
    header_ = sent.substr(common ? 0 : 1);
  } else {
    header_ = path;
    header_ += sent;
  }
  header_ = upper_ascii(std::string_view(header_));
  if (!common) {
    const std::size_t colon = header_.rfind(':');
    path.assign(header_, 0, colon == std::string::npos ? 0 : colon + 1);
  }
  const Handler* handler = find(header_);
  if (!handler) {
    error(-113, "Undefined header;" + header_);
    return;
  }
  const std::size_t before = answer.size();
  if (before > 0) answer += ';';
  const std::size_t start = answer.size();
  ScpiCall call{trim(text.substr(sent.size())), answer};
  (*handler)(call);
  if (answer.size() == start) answer.resize(before);
}

const ScpiDevice::Handler* ScpiDevice::find(std::string_view header) {
  if (const auto seen = known_.find(header); seen != known_.end()) return &commands_[seen->second].handler;
  for (std::size_t i = 0; i < commands_.size(); ++i) {
    if (!is_scpi_spelling(commands_[i].pattern, header)) continue;
    if (known_.size() < spellings_max) known_.emplace(header, i);
    return &commands_[i].handler;
  }
  return nullptr;
}

void ScpiDevice::error(int number, std::string_view text) {
  event_status_ |= event_bit(number);
  if (errors_.size() >= errors_max) {
    errors_.back() = "-350,\"Queue overflow\"";
    return;
  }
  std::string line = std::to_string(number) + ",\"";
  for (const char c : text) line.append(c == '"' ? 2 : 1, c);
  errors_.push_back(line + '"');
}

std::string ScpiDevice::next_error() {
  if (errors_.empty()) return "0,\"No error\"";
  std::string first = std::move(errors_.front());
  errors_.pop_front();
  return first;
}

unsigned ScpiDevice::status_byte(bool answer_waiting) const {
  unsigned status = 0;
  if (!errors_.empty()) status |= 0x04;
  if (questionable() != 0) status |= 0x08;
  if (answer_waiting) status |= 0x10;
  if ((event_status_ & event_enable_) != 0) status |= 0x20;
  if ((status & service_enable_) != 0) status |= 0x40;
  return status;
}

std::optional<double> ScpiDevice::number(const ScpiCall& call, double least, double most) {
  std::string_view text = call.argument;
  if (text.empty()) {
    error(-109, "Missing parameter");
    return std::nullopt;
  }
  std::string word(text);
  word = upper_ascii(std::string_view(word));
  if (word == "MIN" || word == "MINIMUM") return least;
  if (word == "MAX" || word == "MAXIMUM") return most;
  if (text.front() == '+') text.remove_prefix(1);
  double value = 0.0;
  const auto [end, bad] = std::from_chars(text.data(), text.data() + text.size(), value);
  const std::string_view unit = trim({end, static_cast<std::size_t>(text.data() + text.size() - end)});
  const bool has_known_unit = unit.empty() || unit == "A" || unit == "V" || unit == "a" || unit == "v";
  if (bad != std::errc() || !has_known_unit) {
    error(unit.find(',') != std::string_view::npos ? -108 : -104, "Data type error;" + word);
    return std::nullopt;
  }
  if (!(value >= least && value <= most)) {
    error(-222, "Data out of range;" + word);
    return std::nullopt;
  }
  return value;
}

std::optional<bool> ScpiDevice::boolean(const ScpiCall& call) {
  std::string word(call.argument);
  word = upper_ascii(std::string_view(word));
  if (word == "ON" || word == "1") return true;
  if (word == "OFF" || word == "0") return false;
  error(word.empty() ? -109 : -224, word.empty() ? "Missing parameter" : "Illegal parameter value");
  return std::nullopt;
}

void ScpiDevice::write(std::string& out, double value, int decimals) {
  std::array<char, 64> text{};
  const double shown = std::clamp(value, -9.9e37, 9.9e37);
  const auto format = std::abs(shown) < 1e12 ? std::chars_format::fixed : std::chars_format::scientific;
  const auto [end, bad] = std::to_chars(text.data(), text.data() + text.size(), shown, format, decimals);
  const std::string_view digits(text.data(), static_cast<std::size_t>(end - text.data()));
  const bool is_zero = digits.find_first_not_of("-0.") == std::string_view::npos;
  out += is_zero && digits.front() == '-' ? digits.substr(1) : digits;
}

void ScpiDevice::add_common() {
  on("*IDN?", [this](ScpiCall& call) { call.answer += impersonated_.empty() ? identity_ : impersonated_; });
  on("*CLS", [this](ScpiCall&) {
    errors_.clear();
    event_status_ = 0;
  });
  on("*RST", [this](ScpiCall&) { reset(); });
  on("*TST?", [](ScpiCall& call) { call.answer += '0'; });
  on("*WAI", [](ScpiCall&) {});
  on("*OPC", [this](ScpiCall&) { event_status_ |= operation_complete; });
  on("*OPC?", [](ScpiCall& call) { call.answer += '1'; });
  on("*ESR?", [this](ScpiCall& call) {
    call.answer += std::to_string(event_status_);
    event_status_ = 0;
  });
  on("*ESE", [this](ScpiCall& call) {
    if (const auto mask = number(call, 0.0, 255.0)) event_enable_ = static_cast<unsigned>(std::lround(*mask));
  });
  on("*ESE?", [this](ScpiCall& call) { call.answer += std::to_string(event_enable_); });
  on("*SRE", [this](ScpiCall& call) {
    if (const auto mask = number(call, 0.0, 255.0))
      service_enable_ = static_cast<unsigned>(std::lround(*mask));
  });
  on("*SRE?", [this](ScpiCall& call) { call.answer += std::to_string(service_enable_); });
  on("*STB?", [this](ScpiCall& call) { call.answer += std::to_string(status_byte(!call.answer.empty())); });
  on("SYSTem:ERRor[:NEXT]?", [this](ScpiCall& call) { call.answer += next_error(); });
  on("SYSTem:VERSion?", [](ScpiCall& call) { call.answer += "1999.0"; });
  on("STATus:PRESet", [](ScpiCall&) {});
  on("STATus:QUEStionable:CONDition?",
     [this](ScpiCall& call) { call.answer += std::to_string(questionable()); });
  on("STATus:QUEStionable[:EVENt]?",
     [this](ScpiCall& call) { call.answer += std::to_string(questionable()); });
  on("STATus:OPERation:CONDition?", [](ScpiCall& call) { call.answer += '0'; });
  on("STATus:OPERation[:EVENt]?", [](ScpiCall& call) { call.answer += '0'; });
}

}  // namespace leadwright
