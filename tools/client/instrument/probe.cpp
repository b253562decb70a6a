// SPDX-License-Identifier: Apache-2.0
#include "tools/client/instrument/probe.h"

#include "tools/client/instrument/message_guard.h"
#include "tools/client/instrument/probe_step.h"
#include "tools/client/instrument/profile_probe.h"
#include "tools/client/instrument/wire_fault.h"

namespace leadwright {

namespace {

/// A question of the profile that does more than ask would break the promise to switch nothing on.
Result<void> check_questions(const Profile& profile) {
  std::vector<std::string> questions{profile.identity.ask, profile.sample_ask, profile.errors.ask,
                                     profile.errors.power_cycle_ask};
  std::string fence = profile.errors.fence;
  constexpr std::string_view placeholder = "{n}";
  if (const auto at = fence.find(placeholder); at != std::string::npos)
    fence.replace(at, placeholder.size(), "0");
  questions.push_back(fence);
  for (const SafeState::Check& check : profile.safe.checks) questions.push_back(check.ask);
  for (const Setting& setting : profile.settings) questions.push_back(setting.verify.ask);
  if (profile.draw) questions.push_back(profile.draw->ask);
  if (profile.give) questions.push_back(profile.give->ask);
  if (profile.faults) questions.push_back(profile.faults->ask);
  for (const std::string& question : questions) {
    if (question.empty()) continue;
    Result<void> only_asks = check_only_asks(question);
    if (only_asks) continue;
    Error error = std::move(only_asks.error());
    error.where = profile.file;
    error.mend = "a probe only asks: write the profile's questions as questions";
    return tl::unexpected<Error>(std::move(error));
  }
  return {};
}

Result<void> check_order(const ProbeOrder& order) {
  if (order.tries.empty()) return fail(Errc::bug, "no settings to try", order.address.text());
  if (order.profile == nullptr) return {};
  if (!order.profile->link.allows(order.address.kind)) {
    return fail(Errc::bad_input, "the profile does not allow this kind of link", order.address.text(),
                "add it to link.allow in " + order.profile->file);
  }
  return check_questions(*order.profile);
}

/// What everybody below needs, for one try.
struct Try {
  const ProbeOrder& order;
  SerialSettings serial;
  LinkFactory& links;
  Clock& machine;
  const ProbeVoice& say;

  std::string settings() const { return line_settings(order.address, serial); }
  /// Heads the lines that follow.
  void announce(const std::string& what) const {
    say(order.address.text() + (settings().empty() ? "" : " at " + settings()) + ": " + what);
  }
};

/// Who answers without a profile; `log` is what crossed the wire.
Task<Result<WhoAnswered>> ask_who(const Try& attempt, WireLog& log) {
  Result<std::unique_ptr<Link>> link = attempt.links.make(attempt.order.address, attempt.serial);
  if (!link) co_return pass(link);
  log.listen(**link);
  Result<WhoAnswered> who = co_await identify(**link, attempt.order.address.kind, attempt.machine);
  co_return who;
}

WireLog log_to(const Try& attempt, const bool& is_loud) {
  WireLog log;
  const Instant zero = attempt.machine.now();
  log.heard = [&say = attempt.say, &is_loud, zero, hidden = 0](const WirePiece& piece) mutable {
    if (!is_loud) {
      ++hidden;
      return;
    }
    if (hidden > 0) say("             ...  the same, " + std::to_string(hidden) + " pieces more");
    hidden = 0;
    say(shown_piece(piece, zero));
  };
  return log;
}

Task<Result<ProbeReport>> probe_without_profile(const Try& attempt) {
  const bool is_loud = true;
  WireLog log = log_to(attempt, is_loud);
  attempt.announce("who is there?");
  Result<WhoAnswered> who = co_await ask_who(attempt, log);
  if (!who) {
    co_return tl::unexpected<Error>(
        wire_fault(who.error(), log.pieces(), attempt.order.address, attempt.serial));
  }
  ProbeReport report;
  report.protocol = who->protocol;
  report.identity = who->identity;
  report.unproved = {
      "everything else: give its --profile, and its sample, speed and read-back are looked at"};
  co_return report;
}

/// Why an instrument with a profile did not answer: perhaps another one does.
Task<Error> explain_silence(const Try& attempt, Error cause) {
  if (cause.code != Errc::timed_out && cause.code != Errc::garbled) co_return cause;
  const bool is_loud = true;
  WireLog log = log_to(attempt, is_loud);
  attempt.announce("not by its profile; who else is there?");
  Result<WhoAnswered> who = co_await ask_who(attempt, log);
  if (!who) co_return cause;
  const Profile& profile = *attempt.order.profile;
  if (profile.identity_matches(who->identity)) {
    co_return Error{Errc::timed_out, "it answers now, but not in time after the line was opened",
                    attempt.order.address.text(), "raise boot_ms or timeout_ms in " + profile.file};
  }
  co_return Error{Errc::conflict,
                  "other instrument: \"" + who->identity + "\" (" + who->protocol +
                      ") answers where the profile \"" + profile.name + "\" is expected",
                  attempt.order.address.text(), "swap the cables, or give the profile of what hangs there"};
}

Task<Result<ProbeReport>> probe_with_profile(const Try& attempt) {
  const ProbeOrder& order = attempt.order;
  const Profile& profile = *order.profile;
  bool is_loud = true;
  WireLog log = log_to(attempt, is_loud);
  Result<std::unique_ptr<Link>> link = attempt.links.make(order.address, attempt.serial);
  if (!link) co_return pass(link);
  log.listen(**link);
  std::string safe;
  for (const std::string& command : profile.safe.commands)
    safe.append(safe.empty() ? "" : ", ").append(command);
  attempt.announce(safe.empty() ? "connecting"
                                : "connecting; first go its words for the safe state: " + safe);
  Instrument instrument("the instrument", std::move(*link), profile, attempt.machine, attempt.machine);
  Result<void> connected = co_await instrument.connect();
  if (!connected) {
    instrument.close();
    Error fault = wire_fault(connected.error(), log.pieces(), order.address, attempt.serial);
    fault = co_await explain_silence(attempt, std::move(fault));
    co_return tl::unexpected<Error>(std::move(fault));
  }
  ProbeReport report;
  report.profile = profile.file;
  report.protocol = "SCPI";
  const Identity& identity = *instrument.identity();
  report.identity = identity.maker + "," + identity.model + "," + identity.serial + "," + identity.firmware;
  ProfileProbe look(instrument, log, attempt.machine, report, is_loud);
  Result<void> looked = co_await look.look(order.samples, order.settings);
  instrument.off_now();
  instrument.close();
  if (!looked) co_return pass(looked);
  report.unproved = unproved(profile, order.settings);
  co_return report;
}

}  // namespace

Task<Result<ProbeReport>> probe(ProbeOrder order, LinkFactory& links, Clock& machine, ProbeVoice say) {
  Result<void> checked = check_order(order);
  if (!checked) co_return pass(checked);
  std::vector<std::pair<std::string, Error>> failures;
  for (const SerialSettings& serial : order.tries) {
    const Try attempt{order, serial, links, machine, say};
    Result<ProbeReport> report;
    if (order.profile == nullptr) {
      report = co_await probe_without_profile(attempt);
    } else {
      report = co_await probe_with_profile(attempt);
    }
    if (report) {
      report->link = order.address.text();
      report->settings = attempt.settings();
      const bool is_by_profile = order.profile == nullptr ||
                                 order.address.kind != LinkAddress::Kind::serial ||
                                 serial.baud == order.profile->link.serial.baud;
      if (!is_by_profile) {
        report->add(
            ProbeFinding::Verdict::wrong, "speed",
            "it answers at another speed than the profile says: write baud = " + std::to_string(serial.baud));
      }
      co_return report;
    }
    const bool may_be_speed = report.error().code == Errc::timed_out || report.error().code == Errc::garbled;
    if (!may_be_speed) co_return report;
    failures.emplace_back(attempt.settings(), report.error());
  }
  co_return tl::unexpected<Error>(wire_faults(failures, order.address));
}

}  // namespace leadwright
