// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/supervision.h"

#include <fmt/format.h>

#include "daemon/store/json.h"
#include "drivers/wire_text.h"

namespace leadwright {

namespace {

std::string identity_json(const std::optional<Identity>& identity) {
  if (!identity) return "null";
  return fmt::format(R"({{"maker":{},"model":{},"serial":{},"firmware":{}}})", json_string(identity->maker),
                     json_string(identity->model), json_string(identity->serial),
                     json_string(identity->firmware));
}

std::string percentile_json(const LatencyHistogram& replies, const char* name, double share) {
  const auto percentile = replies.percentile(share);
  if (!percentile) return fmt::format(R"("{0}_s":null,"{0}_from_s":null,"{0}_to_s":null)", name);
  return fmt::format(R"("{0}_s":{1},"{0}_from_s":{2},"{0}_to_s":{3})", name,
                     json_number(percentile->estimate.si()), json_number(percentile->from.si()),
                     json_number(percentile->to.si()));
}

std::string replies_json(const LatencyHistogram& replies) {
  return fmt::format(R"({{"count":{},{},{},"worst_s":{}}})", replies.count(),
                     percentile_json(replies, "p50", 0.5), percentile_json(replies, "p99", 0.99),
                     replies.count() > 0 ? json_number(replies.worst().si()) : "null");
}

std::string counters_json(const LinkCounters& counters) {
  return fmt::format(R"({{"exchanges":{},"retries":{},"time_outs":{},"garbles":{},"reopenings":{}}})",
                     counters.exchanges, counters.retries, counters.time_outs, counters.garbles,
                     counters.reopenings);
}

std::string trouble_json(const std::optional<InstrumentWatch::Trouble>& trouble) {
  if (!trouble) return "null";
  return fmt::format(R"({{"at":"{}","what":{}}})", trouble->at.rfc3339(), json_string(trouble->what));
}

std::string line_json(const WireTrace::Line& line, Instant zero) {
  const bool is_hex = line.way != WireTrace::Way::note && is_binary(line.bytes);
  const std::string shown = json_string(is_hex ? hex(line.bytes) : escaped(line.bytes));
  return fmt::format(
      R"({{"number":{},"at":"{}","machine_s":{:.6f},"way":"{}","text":{},"hex":{},"length":{}}})",
      line.number, line.bench_at.rfc3339(), (line.at - zero).si(), word(line.way), is_hex ? "null" : shown,
      is_hex ? shown : "null", line.length);
}

}  // namespace

std::string instrument_json(const std::string& place, const InstrumentWatch& watch) {
  Instrument& instrument = watch.instrument();
  const InstrumentWatch::Standing standing = watch.standing();
  return fmt::format(
      R"({{"name":{},"place":{},"role":"{}","profile":{},"link":{},"state":"{}","since":"{}",)"
      R"("off_within_s":{},"traced":{},"identity":{},"counters":{},"replies":{},"trouble":{}}})",
      json_string(instrument.name()), place.empty() ? "null" : json_string(place),
      word(instrument.profile().role), json_string(instrument.profile().name),
      json_string(instrument.link().name()), word(standing.state), standing.since.rfc3339(),
      json_number(instrument.off_within().si()), watch.is_traced(), identity_json(instrument.identity()),
      counters_json(instrument.counters()), replies_json(instrument.counters().replies),
      trouble_json(watch.trouble()));
}

std::string instrument_words_json(const InstrumentWatch& watch) {
  const Instrument& instrument = watch.instrument();
  const InstrumentWatch::Standing standing = watch.standing();
  const bool is_troubled = standing.state != LinkState::ready && watch.trouble();
  return fmt::format(R"({{"name":{},"role":"{}","state":"{}","since":"{}","trouble":{},"exchanges":{}}})",
                     json_string(instrument.name()), word(instrument.profile().role), word(standing.state),
                     standing.since.rfc3339(), is_troubled ? json_string(watch.trouble()->what) : "null",
                     instrument.counters().exchanges);
}

std::string wire_trace_json(const InstrumentWatch& watch, std::uint64_t number) {
  const WireTrace* trace = watch.trace().get();
  std::string lines;
  if (trace != nullptr) {
    for (const WireTrace::Line& line : trace->after(number)) {
      if (!lines.empty()) lines += ',';
      lines += line_json(line, trace->zero());
    }
  }
  return fmt::format(R"({{"instrument":{},"link":{},"on":{},"oldest":{},"newest":{},"lines":[{}]}})",
                     json_string(watch.instrument().name()), json_string(watch.instrument().link().name()),
                     watch.is_traced(), trace != nullptr ? trace->oldest() : 0,
                     trace != nullptr ? trace->newest() : 0, lines);
}

}  // namespace leadwright
