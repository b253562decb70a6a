// SPDX-License-Identifier: Apache-2.0
#include "tools/client/instrument/probe_report.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <boost/json/serialize.hpp>
#include <cmath>

#include "protocol/scpi.h"

namespace leadwright {

namespace {

namespace json = boost::json;

/// Milliseconds of a machine's clock to a microsecond, so that the text is not longer than the truth.
double rounded_ms(Second time) {
  return std::round(time.si() * 1e6) / 1e3;
}

std::string fixed(double value, int decimals) {
  std::array<char, 48> room{};
  return std::string(write_scpi_number(value, decimals, room));
}

json::value number_or_null(bool is_there, double value) {
  return is_there ? json::value(value) : json::value(nullptr);
}

json::object reading_json(const Reading& reading) {
  return {{"volts_v", number_or_null(reading.volts.has_value(), reading.volts.value_or(Volt()).si())},
          {"amps_a", number_or_null(reading.amps.has_value(), reading.amps.value_or(Ampere()).si())},
          {"temperature_degc",
           number_or_null(reading.temperature.has_value(), reading.temperature.value_or(Celsius()).degc())}};
}

json::object latency_json(const Latency& latency) {
  return {{"count", latency.count},
          {"p50_ms", rounded_ms(latency.median)},
          {"p99_ms", rounded_ms(latency.p99)},
          {"longest_ms", rounded_ms(latency.longest)},
          {"proposed_timeout_ms", rounded_ms(proposed_timeout(latency))}};
}

}  // namespace

const char* word(ProbeFinding::Verdict verdict) {
  switch (verdict) {
    case ProbeFinding::Verdict::right:
      return "right";
    case ProbeFinding::Verdict::wrong:
      return "wrong";
    case ProbeFinding::Verdict::notice:
      return "notice";
  }
  return "wrong";
}

bool ProbeReport::is_right() const {
  return std::ranges::none_of(
      findings, [](const auto& finding) { return finding.verdict == ProbeFinding::Verdict::wrong; });
}

std::string shown_reading(const Profile& profile, const Reading& reading) {
  std::string text;
  const auto add = [&text](const std::string& part) { text.append(text.empty() ? "" : ", ").append(part); };
  if (profile.measures(ReadingOf::volts)) {
    add(reading.volts ? fixed(reading.volts->si(), 3) + " V" : "no volts");
  }
  if (profile.measures(ReadingOf::amps)) {
    add(reading.amps ? fixed(reading.amps->si(), 3) + " A" : "no amps");
  }
  if (profile.measures(ReadingOf::temperature)) {
    add(reading.temperature ? fixed(reading.temperature->degc(), 2) + " degC" : "no temperature");
  }
  return text;
}

std::string show_probe(const ProbeReport& report) {
  std::string text;
  text += fmt::format("{}{}{}: {}: {}\n", report.link, report.settings.empty() ? "" : " at ", report.settings,
                      report.protocol, report.identity);
  for (const ProbeFinding& finding : report.findings) {
    text += fmt::format("  {:<6}  {}: {}\n", word(finding.verdict), finding.subject, finding.text);
  }
  if (!report.unproved.empty()) text += "Not proved:\n";
  for (const std::string& line : report.unproved) text += "  " + line + "\n";
  return text;
}

std::string probe_json(const ProbeReport& report) {
  json::array findings;
  for (const ProbeFinding& finding : report.findings) {
    findings.push_back(json::object{
        {"subject", finding.subject}, {"verdict", word(finding.verdict)}, {"text", finding.text}});
  }
  json::object body{{"link", report.link},
                    {"settings", report.settings},
                    {"protocol", report.protocol},
                    {"identity", report.identity},
                    {"profile", report.profile},
                    {"is_right", report.is_right()},
                    {"findings", std::move(findings)},
                    {"reading", nullptr},
                    {"latency", nullptr},
                    {"not_proved", json::array(report.unproved.begin(), report.unproved.end())}};
  if (report.reading) body["reading"] = reading_json(*report.reading);
  if (report.latency) body["latency"] = latency_json(*report.latency);
  return json::serialize(body);
}

std::vector<std::string> unproved(const Profile& profile, bool tried_settings) {
  std::vector<std::string> lines;
  const auto add = [&lines](const char* line) { lines.emplace_back(line); };
  const bool is_source = profile.draw || profile.give;
  if (is_source && !tried_settings) {
    add("settings: none was sent; --settings tries each one's read-back with the output off");
  }
  if (is_source) {
    add("following: whether the current follows its setting; needs energy, so the first run watches it");
    add("off: that it switches off a current that flows, and how long that takes");
  }
  if (profile.has(Capability::cutoff_volts))
    add("cut-off: that it switches off at its low voltage by itself");
  if (profile.has(Capability::trip_amps)) add("over-current trip: that it trips");
  if (profile.has(Capability::trip_volts)) add("over-voltage trip: that it trips");
  if (is_source) {
    add("mains: that it stays off when mains are pulled and come back with a battery clamped on");
    add(profile.heartbeat
            ? "silence: that it switches off by itself if this computer dies"
            : "silence: that it switches off by itself if this computer dies; by this profile it does "
              "not");
  }
  if (profile.role == Role::digital_io) {
    add("outputs: that each switches what the configuration says, and falls off without mains");
    add("inputs: that each hangs on the contact that the configuration says, and which way it opens");
    return lines;
  }
  add("accuracy: compare a reading with a meter that you trust");
  add("place: that its leads go to the posts which the configuration says, and with the right polarity");
  return lines;
}

}  // namespace leadwright
