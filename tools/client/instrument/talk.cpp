// SPDX-License-Identifier: Apache-2.0
#include "tools/client/instrument/talk.h"

#include <fmt/format.h>

#include <boost/json/object.hpp>
#include <boost/json/serialize.hpp>
#include <cmath>

#include "drivers/answers.h"
#include "drivers/dialect.h"
#include "protocol/scpi.h"
#include "tools/client/instrument/line_exchange.h"
#include "tools/client/instrument/message_guard.h"
#include "tools/client/instrument/wire_log.h"

namespace leadwright {

namespace {

constexpr Second open_time_max{3.0};

/// Line ends that separate the lines of an answer stay; the last one goes.
std::string without_end(std::string bytes) {
  while (!bytes.empty() && (bytes.back() == '\n' || bytes.back() == '\r')) bytes.pop_back();
  return bytes;
}

}  // namespace

const char* word(TalkReply::Kind kind) {
  switch (kind) {
    case TalkReply::Kind::answered:
      return "answered";
    case TalkReply::Kind::sent:
      return "sent";
    case TalkReply::Kind::silent:
      return "silent";
    case TalkReply::Kind::refused:
      return "refused";
  }
  return "refused";
}

Talk::Talk(Link& link, LinkAddress::Kind kind, Clock& machine, const Profile* profile, Second patience)
    : link_(link), machine_(machine), profile_(profile), patience_(patience) {
  if (profile == nullptr) return;
  safe_commands_ = profile->safe.commands;
  const auto dialect = make_dialect(*profile, kind, profile->link.unit);
  opening_ = dialect->opening();
  off_bytes_ = dialect->off_bytes(*profile);
}

Task<Result<void>> Talk::open() {
  Result<void> opened = co_await link_.open(machine_.now() + open_time_max);
  if (!opened) co_return opened;
  // The line end completes whatever a former owner left half-sent, and may carry it out: only where the words
  // for the safe state follow at once.
  if (!off_bytes_.empty() && !opening_.empty()) link_.urgent(opening_);
  off_now();
  if (const Second boot = link_.boot_time(); boot > Second(0.0)) {
    auto booted = machine_.sleep_for(boot);
    co_await booted;
    off_now();
  }
  Result<void> quiet = co_await await_quiet(link_, machine_);
  co_return quiet;
}

Task<void> Talk::keep_gap() {
  auto gap = machine_.sleep_until(next_message_at_);
  if (machine_.now() < next_message_at_) co_await gap;
}

Task<Result<TalkReply>> Talk::say(std::string line) {
  Result<GuardedMessage> guarded = guard_message(line, safe_commands_);
  if (!guarded) co_return TalkReply{TalkReply::Kind::refused, guarded.error().what, Second(0.0)};
  if (!is_in_step_) {
    // What comes late answers the question before.
    Result<void> quiet = co_await await_quiet(link_, machine_);
    if (!quiet && quiet.error().code == Errc::link_lost) co_return pass(quiet);
    is_in_step_ = true;
  }
  co_await keep_gap();
  if (!guarded->is_question) {
    Result<void> sent = co_await tell_line(link_, machine_, guarded->text);
    if (!sent) co_return pass(sent);
    if (profile_ != nullptr) next_message_at_ = machine_.now() + profile_->link.gap;
    co_return TalkReply{TalkReply::Kind::sent, {}, Second(0.0)};
  }
  Result<LineAnswer> answer = co_await ask_line(link_, machine_, guarded->text, patience_);
  if (profile_ != nullptr) next_message_at_ = machine_.now() + profile_->link.gap;
  if (!answer && answer.error().code != Errc::timed_out) co_return pass(answer);
  is_in_step_ = answer && answer->is_complete;
  if (!answer) co_return TalkReply{TalkReply::Kind::silent, {}, patience_};
  co_return TalkReply{TalkReply::Kind::answered, shown_bytes(without_end(answer->bytes)), answer->took};
}

bool Talk::off_now() noexcept {
  return off_bytes_.empty() || link_.urgent(off_bytes_);
}

Task<Result<void>> Talk::prove_off() {
  if (profile_ == nullptr) co_return Result<void>();
  Result<void> quiet = co_await await_quiet(link_, machine_);
  if (!quiet) co_return quiet;
  for (const SafeState::Check& check : profile_->safe.checks) {
    Result<LineAnswer> answer = co_await ask_line(link_, machine_, check.ask, profile_->link.timeout);
    if (!answer) co_return pass(answer);
    const std::string text(trim_scpi(answer->bytes));
    const Result<void> is_off = check_equals(check, text);
    if (!is_off) {
      co_return fail(Errc::not_verified, "not off: " + is_off.error().what, link_.name(),
                     "switch it off by hand and disconnect the battery");
    }
    next_message_at_ = machine_.now() + profile_->link.gap;
    co_await keep_gap();
  }
  co_return Result<void>();
}

std::string show_reply(const TalkReply& reply, Second patience) {
  switch (reply.kind) {
    case TalkReply::Kind::answered:
      return fmt::format("< {}    {:.1f} ms", reply.text, reply.took.si() * 1000.0);
    case TalkReply::Kind::sent:
      return "sent";
    case TalkReply::Kind::silent:
      return fmt::format("no answer in {:.0f} ms; SYST:ERR? may tell why", patience.si() * 1000.0);
    case TalkReply::Kind::refused:
      break;
  }
  return "refused: " + reply.text;
}

std::string reply_json(const std::string& line, const TalkReply& reply) {
  boost::json::object body{
      {"line", line}, {"reply", word(reply.kind)}, {"text", reply.text}, {"took_ms", nullptr}};
  if (reply.kind == TalkReply::Kind::answered) {
    body["took_ms"] = std::round(reply.took.si() * 1e6) / 1e3;
  }
  return boost::json::serialize(body);
}

}  // namespace leadwright
