// SPDX-License-Identifier: Apache-2.0
// The device's side of SCPI-1999 text: messages, header path, error queue, status registers, common commands.
// For: the simulated instruments, which add their own commands. Owned by SimBench. Thread: the bench's.
// Never: does I/O. Read next: sim_load.h.
#pragma once

#include <cstdint>
#include <deque>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace leadwright {

/// Argument and answer of one program message unit.
struct ScpiCall {
  std::string_view argument;  ///< text after the header, blanks trimmed; empty if none
  std::string& answer;        ///< a query appends its answer here
};

class ScpiDevice {
 public:
  /// `identity` is the whole answer to *IDN?.
  explicit ScpiDevice(std::string identity);
  ScpiDevice(const ScpiDevice&) = delete;
  ScpiDevice& operator=(const ScpiDevice&) = delete;
  virtual ~ScpiDevice() = default;

  /// Takes bytes in any pieces; appends the answers to all messages that they complete, one line each.
  void receive(std::string_view bytes, std::string& answers);
  /// A message came before the answer to the last one was sent: the answer is lost, -410 is queued.
  void interrupted() { error(-410, "Query INTERRUPTED"); }
  /// Half a message is forgotten.
  void forget_input();
  /// Power off and on: PON set, errors, enable masks and half a message forgotten.
  void restart();
  /// Answers another identity than it should, as if another instrument were on the line; empty: its own
  /// again.
  void impersonate(std::string identity) { impersonated_ = std::move(identity); }

 protected:
  using Handler = std::function<void(ScpiCall&)>;

  /// `pattern` as the standard writes it: "[SOURce:]CURRent[:LEVel]?": capitals are the short form, brackets
  /// may be left out, a question mark ends a query.
  void on(std::string_view pattern, Handler handler);
  /// Queues an error and sets its bit of the event status.
  void error(int number, std::string_view text);
  /// A number from the argument in [least, most]; MIN and MAX are its ends. Queues the error otherwise.
  std::optional<double> number(const ScpiCall& call, double least, double most);
  std::optional<bool> boolean(const ScpiCall& call);
  /// Fixed point, three decimals unless told.
  static void write(std::string& out, double value, int decimals = 3);

 private:
  struct Unit {
    std::string header;  // as sent, with its path, upper case
    std::string_view argument;
  };
  virtual void begin_message() {}
  virtual void reset() {}
  virtual std::uint16_t questionable() const { return 0; }

  void add_common();
  void message(std::string_view text, std::string& answers);
  void unit(std::string_view text, std::string& path, std::string& answer);
  const Handler* find(std::string_view header);
  std::string next_error();
  unsigned status_byte(bool answer_waiting) const;

  struct Command {
    std::string pattern;
    Handler handler;
  };
  std::string identity_;
  std::string impersonated_;
  std::vector<Command> commands_;
  std::map<std::string, std::size_t, std::less<>> known_;  // spellings seen, to their command; bounded
  std::string input_;
  std::string header_;  // kept for its capacity
  std::string answer_;
  bool overrun_ = false;
  std::deque<std::string> errors_;
  unsigned event_status_ = 0x80;  // PON
  unsigned event_enable_ = 0;
  unsigned service_enable_ = 0;
};

/// True if `header` ("CURR:PROT?", upper case) is a spelling of `pattern`.
bool is_scpi_spelling(std::string_view pattern, std::string_view header);

}  // namespace leadwright
