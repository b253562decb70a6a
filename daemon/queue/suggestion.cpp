// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/suggestion.h"

#include <fmt/format.h>

#include <algorithm>

#include "daemon/store/json.h"
#include "daemon/store/said_json.h"

namespace leadwright {
namespace {

Second time_of(const WaitingTicket& one) {
  return one.ahead ? one.ahead->bay + one.ahead->charging : Second(0.0);
}

/// How long it takes a place of this kind, all in all.
Second takes(const WaitingTicket& one, PlaceKind kind) {
  if (!one.ahead) return Second(0.0);
  return kind == PlaceKind::bay ? one.ahead->bay : one.ahead->charging;
}

/// What is left of its promised time if it begins now; missing without a promise or an expectation.
std::optional<Second> slack(const WaitingTicket& one, Utc now) {
  if (!one.promised_at || !one.ahead) return std::nullopt;
  return *one.promised_at - now - time_of(one);
}

/// What costs less comes first; what has no letter before it comes last.
bool costs_less(const WaitingTicket& one, const WaitingTicket& other) {
  if (one.ahead.has_value() != other.ahead.has_value()) return one.ahead.has_value();
  if (one.ahead && one.ahead->price != other.ahead->price) return one.ahead->price < other.ahead->price;
  return one.received_at < other.received_at;
}

Sentence why_first(const WaitingTicket& one, std::size_t others) {
  if (others == 0) return say("suggest_only", "Nothing else waits for a place of this kind.");
  if (!one.ahead) return say("suggest_longest", "Of those that wait for a place of this kind it came first.");
  return say(
      "suggest_cheapest",
      "Of those that wait for a place of this kind its letter is expected to cost least: {bay} of a bay, "
      "{charging} of a charging place and {hands} of hands.",
      {said_amount("bay", as_hours(one.ahead->bay), 1, "h"),
       said_amount("charging", as_hours(one.ahead->charging), 1, "h"),
       said_amount("hands", as_minutes(one.ahead->hands), 0, "min")});
}

Sentence why_promised(const WaitingTicket& one) {
  return say(
      "suggest_promised",
      "It is promised for {until} and needs some {time} more: behind another it would be late.",
      {said_words("until", one.promised_at->rfc3339()), said_amount("time", as_hours(time_of(one)), 1, "h")});
}

}  // namespace

std::vector<Suggestion> suggestions_for(FreeAndWaiting found, Utc now) {
  std::vector<WaitingTicket>& waiting = found.waiting;
  std::vector<Suggestion> all;
  std::ranges::stable_sort(waiting, costs_less);
  for (const FreePlace& place : found.free) {
    const auto fits = [&place](const WaitingTicket& one) { return one.wants == place.kind; };
    const auto cheapest = std::ranges::find_if(waiting, fits);
    if (cheapest == waiting.end()) continue;
    const auto others = static_cast<std::size_t>(std::ranges::count_if(waiting, fits)) - 1;
    auto first = cheapest;
    std::optional<Second> least;
    for (auto each = waiting.begin(); each != waiting.end(); ++each) {
      const auto left = fits(*each) ? slack(*each, now) : std::nullopt;
      if (!left || *left >= takes(*cheapest, place.kind) || (least && *left >= *least)) continue;
      least = left;
      first = each;
    }
    all.push_back({place.name, first->ticket, first->procedure,
                   least && others > 0 ? why_promised(*first) : why_first(*first, others)});
    waiting.erase(first);
  }
  return all;
}

std::string suggestions_json(const std::vector<Suggestion>& suggestions) {
  std::string text = "[";
  for (const Suggestion& each : suggestions) {
    if (text.size() > 1) text += ',';
    text += fmt::format(R"({{"place":{},"ticket":{},"procedure":{},"why":{},"said":{}}})",
                        json_string(each.place), json_string(each.ticket), json_string(each.procedure),
                        json_string(each.why.text()), phrases_json(each.why.phrases()));
  }
  return text + "]";
}

}  // namespace leadwright
