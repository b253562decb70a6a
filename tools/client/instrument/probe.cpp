// SPDX-License-Identifier: Apache-2.0
#include "tools/client/instrument/probe.h"

#include <fmt/format.h>

#include "drivers/answers.h"
#include "drivers/dialect.h"
#include "tools/client/instrument/probe_step.h"
#include "tools/client/instrument/profile_probe.h"
#include "tools/client/instrument/profile_questions.h"
#include "tools/client/instrument/wire_fault.h"

namespace leadwright {

namespace {

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
  int unit() const { return order.unit.value_or(order.profile != nullptr ? order.profile->link.unit : 1); }
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
  Result<WhoAnswered> who = co_await identify(**link, attempt.order.address, attempt.unit(), attempt.machine);
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
  const bool is_scpi = profile.dialect == DialectKind::scpi;
  if (is_scpi && who->protocol == "SCPI" && profile.identity_matches(who->identity)) {
    co_return Error{Errc::timed_out, "it answers now, but not in time after the line was opened",
                    attempt.order.address.text(), "raise boot_ms or timeout_ms in " + profile.file};
  }
  // A unit that answers at all has the right address and speed: its own error says more than that it is
  // there.
  if (!is_scpi && who->protocol == "Modbus") co_return cause;
  co_return Error{Errc::conflict,
                  "other instrument: \"" + who->identity + "\" (" + who->protocol +
                      ") answers where the profile \"" + profile.name + "\" is expected",
                  attempt.order.address.text(), "swap the cables, or give the profile of what hangs there"};
}

/// What goes out before anything is asked.
std::string opening_words(const Profile& profile) {
  std::string safe;
  for (const std::string& command : profile.safe.commands) {
    safe.append(safe.empty() ? "" : ", ").append(shown_message(command));
  }
  return safe.empty() ? "connecting" : "connecting; first go its words for the safe state: " + safe;
}

/// In the instrument's own words, or, where it has none, in the profile's.
std::string identity_text(const Instrument& instrument, int unit) {
  const Profile& profile = instrument.profile();
  if (profile.dialect == DialectKind::modbus) {
    std::string text = fmt::format("unit {}; {} is", unit, shown_message(profile.identity.ask));
    for (const std::uint16_t one : profile.identity.words) text += fmt::format(" 0x{:04X}", one);
    return text;
  }
  const Identity& identity = *instrument.identity();
  return identity.maker + "," + identity.model + "," + identity.serial + "," + identity.firmware;
}

Task<Result<ProbeReport>> probe_with_profile(const Try& attempt) {
  const ProbeOrder& order = attempt.order;
  const Profile& profile = *order.profile;
  bool is_loud = true;
  WireLog log = log_to(attempt, is_loud);
  Result<std::unique_ptr<Link>> link = attempt.links.make(order.address, attempt.serial);
  if (!link) co_return pass(link);
  log.listen(**link);
  attempt.announce(opening_words(profile));
  const auto line = std::make_shared<Line>(std::move(*link), attempt.machine);
  Instrument instrument("the instrument", {line, order.address.kind, attempt.unit()}, profile,
                        attempt.machine, attempt.machine);
  Result<void> connected = co_await instrument.connect();
  if (!connected) {
    instrument.close();
    Error fault = wire_fault(connected.error(), log.pieces(), order.address, attempt.serial, profile.dialect);
    fault = co_await explain_silence(attempt, std::move(fault));
    co_return tl::unexpected<Error>(std::move(fault));
  }
  ProbeReport report;
  report.profile = profile.file;
  report.protocol = profile.dialect == DialectKind::modbus ? "Modbus" : "SCPI";
  report.identity = identity_text(instrument, attempt.unit());
  Conversation aside(line, profile, make_dialect(profile, order.address.kind, attempt.unit()),
                     attempt.machine, attempt.machine);
  ProfileProbe look(instrument, aside, log, report, is_loud);
  Result<void> looked = co_await look.look(order.samples, order.settings);
  instrument.off_now();
  aside.close();
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
