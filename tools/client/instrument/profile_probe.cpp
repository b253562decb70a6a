// SPDX-License-Identifier: Apache-2.0
#include "tools/client/instrument/profile_probe.h"

#include <fmt/format.h>

#include "drivers/answers.h"
#include "protocol/scpi.h"

namespace leadwright {

namespace {

constexpr int loud_samples = 3;
constexpr int sample_failures_max = 5;
constexpr int error_queue_max = 32;
// Nobody's identity: a pattern that takes it takes anything.
constexpr const char* foreign_identity = "Another maker,another model,0,0";

double ms(Second time) {
  return time.si() * 1000.0;
}

/// Errors in the answers to the question for errors, among the pieces.
std::vector<std::string> errors_answered(const std::vector<WirePiece>& pieces, const ErrorQueue& errors) {
  std::vector<std::string> found;
  std::string answer;
  bool is_asked = false;
  bool has_number = false;
  const auto take = [&] {
    // The number that the profile has added to each question is not the queue's.
    const std::string text(trim_scpi(answer.substr(0, has_number ? answer.rfind(';') : answer.npos)));
    const auto fault = read_scpi_fault(text);
    if (is_asked && fault && fault->number != errors.ok) found.push_back(text);
    answer.clear();
  };
  for (const WirePiece& piece : pieces) {
    if (!piece.outward) {
      answer += piece.bytes;
      continue;
    }
    take();
    is_asked = piece.bytes.find(errors.ask) != std::string::npos;
    has_number = errors.tag && is_asked;
  }
  take();
  return found;
}

/// Nothing that the profile's sample gives is missing.
bool measures_all(const Profile& profile, const Reading& reading) {
  return (reading.volts || !profile.measures(ReadingOf::volts)) &&
         (reading.amps || !profile.measures(ReadingOf::amps)) &&
         (reading.temperature || !profile.measures(ReadingOf::temperature));
}

std::string joined(const std::vector<std::string>& parts) {
  std::string text;
  for (const std::string& part : parts) text.append(text.empty() ? "" : "; ").append(part);
  return text;
}

}  // namespace

ProfileProbe::ProfileProbe(Instrument& instrument, Conversation& aside, WireLog& log, ProbeReport& report,
                           bool& is_loud)
    : instrument_(instrument),
      aside_(aside),
      profile_(instrument.profile()),
      log_(log),
      report_(report),
      is_loud_(is_loud) {}

Task<Result<void>> ProfileProbe::look(int samples, bool settings) {
  look_at_identity();
  look_at_first_errors();
  Result<void> joined = co_await aside_.open(Instant::never());
  if (!joined) co_return joined;
  Result<void> sampled = co_await look_at_samples(samples);
  if (!sampled) co_return sampled;
  Result<void> asked = co_await look_at_faults();
  if (!asked) co_return asked;
  if (settings) {
    Result<void> tried = co_await try_settings();
    if (!tried) co_return tried;
  }
  co_return co_await look_at_last_errors();
}

void ProfileProbe::look_at_identity() {
  report_.add(Verdict::right, "identity", "matches the profile \"" + profile_.name + "\"");
  if (profile_.dialect == DialectKind::scpi && profile_.identity_matches(foreign_identity)) {
    report_.add(Verdict::notice, "identity",
                "the profile's pattern takes any instrument for this one: narrow identity.match to it");
  }
  if (instrument_.identity() && instrument_.identity()->simulated_scale) {
    report_.add(Verdict::notice, "identity", "it says of itself that it is simulated");
  }
  if (profile_.safe.checks.empty()) return;
  std::string checks;
  for (const SafeState::Check& check : profile_.safe.checks) {
    checks.append(checks.empty() ? "" : ", ");
    checks.append(shown_message(check.ask)).append(" answers ").append(check.equals);
  }
  report_.add(Verdict::right, "safe state", "off, and read back as off: " + checks);
  if (profile_.heartbeat) {
    report_.add(
        Verdict::notice, "heartbeat",
        fmt::format("armed: it switches off by itself {:.0f} ms after this probe's last word, and may say so",
                    ms(profile_.heartbeat->limit)));
  }
}

void ProfileProbe::look_at_first_errors() {
  if (profile_.errors.ask.empty()) return;
  const auto errors = errors_answered(log_.pieces(), profile_.errors);
  if (errors.empty()) {
    report_.add(Verdict::right, "error queue", "empty at the start");
  } else {
    report_.add(Verdict::notice, "error queue",
                "held at the start, from before or from the profile's own words: " + joined(errors));
  }
}

Task<Result<void>> ProfileProbe::look_at_samples(int count) {
  const std::size_t first_piece = log_.pieces().size();
  const std::uint64_t retries = instrument_.counters().retries;
  int failures = 0;
  int taken = 0;
  for (; taken < count && failures < sample_failures_max; ++taken) {
    is_loud_ = taken < loud_samples;
    Result<void> sampled = co_await take_sample();
    if (sampled) continue;
    ++failures;
    if (failures > 1 && sampled.error().code != Errc::link_lost) continue;
    Result<void> wrong = found_wrong("sample", sampled.error());
    if (!wrong) co_return wrong;
  }
  is_loud_ = true;
  if (failures < taken) {
    show_sample();
    judge_latency(first_piece);
  }
  if (failures > 0) {
    report_.add(Verdict::wrong, "sample", fmt::format("{} of {} failed", failures, taken));
  }
  if (const std::uint64_t asked_again = instrument_.counters().retries - retries; asked_again > 0) {
    report_.add(Verdict::notice, "sample", fmt::format("{} questions had to be asked again", asked_again));
  }
  co_return Result<void>();
}

Task<Result<void>> ProfileProbe::take_sample() {
  if (profile_.inputs.count > 0) {
    Result<std::uint32_t> inputs = co_await instrument_.read_inputs();
    if (!inputs) co_return pass(inputs);
    sample_text_ = "inputs 0 to " + std::to_string(profile_.inputs.count - 1) + " are";
    for (int i = 0; i < profile_.inputs.count; ++i) {
      sample_text_ += (*inputs >> static_cast<unsigned>(i) & 1U) != 0 ? " 1" : " 0";
    }
    co_return Result<void>();
  }
  if (profile_.outputs.count > 0) {
    Result<bool> output = co_await instrument_.read_output(0);
    if (!output) co_return pass(output);
    sample_text_ = *output ? "output 0 is on" : "output 0 is off";
    co_return Result<void>();
  }
  Result<Reading> reading = co_await instrument_.sample();
  if (!reading) co_return pass(reading);
  report_.reading = *reading;
  is_whole_ = measures_all(profile_, *reading);
  sample_text_ = shown_reading(profile_, *reading);
  co_return Result<void>();
}

void ProfileProbe::show_sample() {
  report_.add(is_whole_ ? Verdict::right : Verdict::notice, "sample",
              sample_text_ + (is_whole_ ? "" : ": it says that it could not measure what is missing"));
}

void ProfileProbe::judge_latency(std::size_t first_piece) {
  const auto first = log_.pieces().begin() + static_cast<std::ptrdiff_t>(first_piece);
  const Latency latency = latency_of(exchange_times({first, log_.pieces().end()}));
  report_.latency = latency;
  report_.add(Verdict::right, "latency",
              fmt::format("p50 {:.1f} ms, p99 {:.1f} ms, longest {:.1f} ms of {} answers", ms(latency.median),
                          ms(latency.p99), ms(latency.longest), latency.count));
  const Second proposed = proposed_timeout(latency);
  const double written = ms(profile_.link.timeout);
  const bool is_enough = profile_.link.timeout >= proposed;
  std::string text =
      fmt::format("proposed is timeout_ms = {:.0f} (3 x p99, at least {:.0f}); the profile says {:.0f}",
                  ms(proposed), ms(timeout_floor), written);
  if (proposed > profile_.stale / 3.0) {
    text += fmt::format("; with it stale_ms must be at least {:.0f}", ms(proposed) * 3.0);
  }
  report_.add(is_enough ? Verdict::right : Verdict::wrong, "time-out", std::move(text));
}

Task<Result<void>> ProfileProbe::look_at_faults() {
  if (!profile_.has(Capability::faults)) co_return Result<void>();
  Result<std::string> faults = co_await instrument_.faults();
  if (!faults) co_return found_wrong("faults", faults.error());
  if (faults->empty()) {
    report_.add(Verdict::right, "faults", "its own protection reports none");
  } else {
    report_.add(Verdict::notice, "faults", "its own protection reports: " + *faults);
  }
  co_return Result<void>();
}

Task<Result<void>> ProfileProbe::look_at_last_errors() {
  if (profile_.errors.ask.empty()) co_return Result<void>();
  std::vector<std::string> errors;
  for (int i = 0; i < error_queue_max; ++i) {
    Result<std::string_view> answer = co_await aside_.ask(profile_.errors.ask);
    if (!answer) co_return found_wrong("error queue", answer.error());
    const auto fault = read_scpi_fault(*answer);
    if (!fault) {
      report_.add(Verdict::wrong, "error queue", profile_.errors.ask + " answers " + std::string(*answer));
      co_return Result<void>();
    }
    if (fault->number == profile_.errors.ok) break;
    errors.emplace_back(*answer);
  }
  if (errors.empty()) {
    report_.add(Verdict::right, "error queue", "empty after the questions of the profile");
  } else {
    report_.add(Verdict::wrong, "error queue", "the profile's questions left: " + joined(errors));
  }
  co_return Result<void>();
}

Result<void> ProfileProbe::found_wrong(const char* subject, const Error& error) {
  if (error.code == Errc::link_lost) return tl::unexpected<Error>(error);
  std::string text = error.what;
  if (!error.mend.empty()) text.append(": ").append(error.mend);
  report_.add(Verdict::wrong, subject, std::move(text));
  return {};
}

}  // namespace leadwright
