// SPDX-License-Identifier: Apache-2.0
// What Prometheus scrapes. One family after another, each with all its instruments, as the format wants it.
#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "daemon/queue/bench.h"
#include "daemon/queue/exposition.h"
#include "daemon/store/json.h"

namespace leadwright {

namespace {

constexpr std::array states{LinkState::closed, LinkState::opening,  LinkState::identified,
                            LinkState::ready,  LinkState::degraded, LinkState::lost};

using Watches = std::vector<InstrumentWatch*>;

void add_counters(Exposition& out, const Watches& watches) {
  struct Row {
    const char* name;
    const char* help;
    std::uint64_t LinkCounters::*count;
  };
  constexpr std::array rows{
      Row{"leadwright_link_exchanges_total", "Questions put to an instrument.", &LinkCounters::exchanges},
      Row{"leadwright_link_retries_total", "Questions put again after a failure.", &LinkCounters::retries},
      Row{"leadwright_link_time_outs_total", "Questions without an answer in time.",
          &LinkCounters::time_outs},
      Row{"leadwright_link_garbles_total", "Answers that could not be read.", &LinkCounters::garbles},
      Row{"leadwright_link_reopenings_total", "Openings after the first.", &LinkCounters::reopenings}};
  for (const Row& row : rows) {
    out.family(row.name, "counter", row.help);
    for (const InstrumentWatch* watch : watches) {
      out.sample({{"instrument", watch->instrument().name()}}, watch->instrument().counters().*row.count);
    }
  }
}

void add_replies(Exposition& out, const Watches& watches) {
  out.family("leadwright_link_reply_seconds", "histogram",
             "Machine time from sending a question to its whole answer.");
  for (const InstrumentWatch* watch : watches) {
    const std::string& name = watch->instrument().name();
    const LatencyHistogram& replies = watch->instrument().counters().replies;
    std::uint64_t so_far = 0;
    for (std::size_t bucket = 0; bucket < LatencyHistogram::bounds; ++bucket) {
      so_far += replies.in_bucket(bucket);
      const std::string upper = fmt::format("{:.4f}", LatencyHistogram::upper(bucket).si());
      out.sample({{"instrument", name}, {"le", upper}}, so_far, "_bucket");
    }
    out.sample({{"instrument", name}, {"le", "+Inf"}}, replies.count(), "_bucket");
    out.sample({{"instrument", name}}, json_number(replies.sum().si()), "_sum");
    out.sample({{"instrument", name}}, replies.count(), "_count");
  }
  out.family("leadwright_link_reply_worst_seconds", "gauge", "The longest answer since the daemon started.");
  for (const InstrumentWatch* watch : watches) {
    out.sample({{"instrument", watch->instrument().name()}},
               json_number(watch->instrument().counters().replies.worst().si()));
  }
}

void add_states(Exposition& out, const Watches& watches) {
  out.family("leadwright_instrument_state", "gauge", "1 for the state that the instrument is in, else 0.");
  for (const InstrumentWatch* watch : watches) {
    const LinkState now = watch->standing().state;
    for (const LinkState state : states) {
      out.sample({{"instrument", watch->instrument().name()}, {"state", word(state)}},
                 std::uint64_t{state == now ? 1U : 0U});
    }
  }
  out.family("leadwright_instrument_state_since_timestamp_seconds", "gauge",
             "Bench time since which it is in that state, as Unix time.");
  for (const InstrumentWatch* watch : watches) {
    out.sample({{"instrument", watch->instrument().name()}},
               fmt::format("{:.3f}", (watch->standing().since - Utc()).si()));
  }
}

void add_links(Exposition& out, const Watches& watches) {
  out.family("leadwright_instrument_info", "gauge", "What an instrument is and where; always 1.");
  for (const InstrumentWatch* watch : watches) {
    Instrument& instrument = watch->instrument();
    const Identity identity = instrument.identity().value_or(Identity());
    out.sample({{"instrument", instrument.name()},
                {"profile", instrument.profile().name},
                {"link", instrument.link().name()},
                {"maker", identity.maker},
                {"model", identity.model},
                {"serial", identity.serial},
                {"firmware", identity.firmware}},
               std::uint64_t{1});
  }
  out.family("leadwright_link_off_within_seconds", "gauge",
             "The longest that the bytes of the off path may wait for the kernel.");
  for (const InstrumentWatch* watch : watches) {
    out.sample({{"instrument", watch->instrument().name()}},
               json_number(watch->instrument().off_within().si()));
  }
  out.family("leadwright_link_trace_on", "gauge", "1 while the bytes of the link are traced.");
  for (const InstrumentWatch* watch : watches) {
    out.sample({{"instrument", watch->instrument().name()}}, std::uint64_t{watch->is_traced() ? 1U : 0U});
  }
}

std::uint64_t overrides_of(const Ledger& ledger) {
  std::uint64_t count = 0;
  for (const auto& [id, file] : ledger.files()) {
    const auto confirmed =
        std::ranges::count(file.overrides, OverrideState::confirmed, &GradeOverride::state);
    count += static_cast<std::uint64_t>(confirmed);
  }
  return count;
}

}  // namespace

void Bench::metrics(const Answer& answer) {
  Watches all;
  for (const WatchedAt& each : watches()) all.push_back(each.watch);
  Exposition out;
  add_states(out, all);
  add_counters(out, all);
  add_replies(out, all);
  add_links(out, all);
  out.family("leadwright_store_backlog_batches", "gauge", "Batches that wait for the disk.");
  out.sample({}, std::uint64_t{store_.backlog()});
  out.family("leadwright_tickets", "gauge", "Tickets by state.");
  std::map<std::string, std::uint64_t> by_state;
  for (const auto& [id, file] : ledger_.files()) ++by_state[word(file.ticket.state)];
  for (const auto& [state, count] : by_state) out.sample({{"state", state}}, count);
  out.family("leadwright_grade_overrides_total", "counter",
             "Letters that a second person confirmed in place of the bench's own, of all tickets.");
  out.sample({}, overrides_of(ledger_));
  answer({200, out.text()});
}

}  // namespace leadwright
