// SPDX-License-Identifier: Apache-2.0
#include "tools/client/instrument_commands.h"

#include <unistd.h>

#include <iostream>
#include <optional>

#include "drivers/profile.h"
#include "tools/client/call.h"
#include "tools/client/instrument/link_owner.h"
#include "tools/client/instrument/probe.h"
#include "tools/client/instrument/real_time.h"
#include "tools/client/instrument/signal_input.h"
#include "tools/client/instrument/talk.h"

namespace leadwright {

namespace {

/// What both commands need before anything is opened.
struct Target {
  LinkAddress address;
  std::optional<Profile> profile;
  std::vector<SerialSettings> tries;  ///< at least one
};

/// A file with mistakes shows them all, as `profile check` does; the error is the last word.
Result<std::optional<Profile>> read_profile(const std::string& file) {
  if (file.empty()) return std::optional<Profile>();
  auto profile = load_profile(file);
  if (profile) return std::optional<Profile>(std::move(*profile));
  for (const Error& mistake : profile.error()) std::cerr << mistake.line() << "\n";
  return fail(Errc::bad_input, "the profile has mistakes", file, "see leadwright profile check " + file);
}

std::vector<SerialSettings> tries_of(const LineOptions& line, const std::optional<Profile>& profile,
                                     LinkAddress::Kind kind) {
  SerialSettings serial = profile ? profile->link.serial : SerialSettings{};
  if (line.parity == "none") serial.parity = SerialSettings::Parity::none;
  if (line.parity == "even") serial.parity = SerialSettings::Parity::even;
  if (line.parity == "odd") serial.parity = SerialSettings::Parity::odd;
  serial.stop = line.stop.value_or(serial.stop);
  if (line.bauds.empty() || kind != LinkAddress::Kind::serial) return {serial};
  std::vector<SerialSettings> tries;
  for (const int baud : line.bauds) {
    serial.baud = baud;
    tries.push_back(serial);
  }
  return tries;
}

Result<Target> target_of(const std::string& link, const std::string& profile, const LineOptions& line) {
  Result<LinkAddress> address = LinkAddress::parse(link);
  if (!address) return pass(address);
  Result<std::optional<Profile>> read = read_profile(profile);
  if (!read) return pass(read);
  Result<void> free = check_unconnected(*address);
  if (!free) return pass(free);
  std::vector<SerialSettings> tries = tries_of(line, *read, address->kind);
  return Target{std::move(*address), std::move(*read), std::move(tries)};
}

/// The console's part that belongs to the terminal.
class Console {
 public:
  Console(const ClientOptions& client, Second patience)
      : client_(client),
        patience_(patience),
        has_prompt_(!client.json && ::isatty(STDIN_FILENO) == 1 && ::isatty(STDOUT_FILENO) == 1) {}

  void prompt() const {
    if (has_prompt_) std::cout << "> " << std::flush;
  }
  /// False once nobody reads any more.
  bool show(const std::string& line, const TalkReply& reply) {
    if (reply.kind == TalkReply::Kind::refused) has_refused_ = true;
    std::cout << (client_.json ? reply_json(line, reply) : show_reply(reply, patience_)) << std::endl;
    return std::cout.good();
  }
  bool has_refused() const { return has_refused_; }

 private:
  const ClientOptions& client_;
  Second patience_;
  bool has_prompt_;
  bool has_refused_ = false;
};

/// Says goodbye with the words for the safe state, whatever ends the session, an exception too.
class OffAtEnd {
 public:
  explicit OffAtEnd(Talk& talk) : talk_(talk) {}
  OffAtEnd(const OffAtEnd&) = delete;
  OffAtEnd& operator=(const OffAtEnd&) = delete;
  ~OffAtEnd() { talk_.off_now(); }

 private:
  Talk& talk_;
};

/// Until the input ends or a signal comes. The error is that of the line.
Result<void> converse(RealTime& time, Talk& talk, SignalInput& input, Console& console) {
  const OffAtEnd off_at_end(talk);
  const auto opened = time.run(talk.open(), input.signals());
  if (!opened) return {};
  if (!*opened) return *opened;
  console.prompt();
  for (auto line = input.next(); line; line = input.next()) {
    const bool is_blank = line->find_first_not_of(' ') == std::string::npos;
    if (!is_blank) {
      auto reply = time.run(talk.say(*line), input.signals());
      if (!reply) return {};
      if (!*reply) return pass(*reply);
      if (!console.show(*line, **reply)) return {};
    }
    console.prompt();
  }
  return {};
}

}  // namespace

ExitCode instrument_probe(const ClientOptions& client, const ProbeOptions& options) {
  Result<Target> target = target_of(options.link, options.profile, options.line);
  if (!target) return report(client, target.error());
  ProbeOrder order{target->address, target->tries,    target->profile ? &*target->profile : nullptr,
                   options.samples, options.settings, options.unit};
  RealTime time;
  const ProbeVoice say = [&client](const std::string& line) {
    if (!client.json) std::cout << line << std::endl;
  };
  const auto found = *time.run(probe(std::move(order), time.links(), time.machine(), say));
  if (!found) return report(client, with_owner(found.error(), target->address));
  std::cout << (client.json ? probe_json(*found) + "\n" : show_probe(*found));
  if (!std::cout.flush()) return ExitCode::io;
  return found->is_right() ? ExitCode::ok : ExitCode::negative;
}

ExitCode instrument_talk(const ClientOptions& client, const TalkOptions& options) {
  Result<Target> target = target_of(options.link, options.profile, options.line);
  if (!target) return report(client, target.error());
  const Profile* profile = target->profile ? &*target->profile : nullptr;
  if (profile != nullptr && profile->dialect != DialectKind::scpi) {
    return report(client, {Errc::unsupported, "a console needs an instrument that speaks in text",
                           profile->file, "for Modbus: leadwright instrument probe"});
  }
  const Second patience(options.patience_ms / 1000.0);
  RealTime time;
  Result<std::unique_ptr<Link>> link = time.links().make(target->address, target->tries.front());
  if (!link) return report(client, link.error());
  Talk talk(**link, target->address.kind, time.machine(), profile, patience);
  SignalInput input(STDIN_FILENO);
  Console console(client, patience);
  const Result<void> ended = converse(time, talk, input, console);
  if (!ended) return report(client, with_owner(ended.error(), target->address));
  const auto off = time.run(talk.prove_off());
  if (!*off) return report(client, off->error());
  if (profile != nullptr && !client.json) std::cerr << "read back as off\n";
  return console.has_refused() ? ExitCode::not_permitted : ExitCode::ok;
}

}  // namespace leadwright
