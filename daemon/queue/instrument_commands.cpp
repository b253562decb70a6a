// SPDX-License-Identifier: Apache-2.0
// The verbs of the service: what a person may see of instruments, and the byte trace of their links.
#include <fmt/format.h>

#include "daemon/queue/bench.h"
#include "daemon/queue/problem.h"
#include "daemon/queue/supervision.h"
#include "daemon/settings/log.h"

namespace leadwright {

namespace {

Error no_instrument(const std::string& name) {
  return {Errc::not_found, "there is no instrument \"" + name + "\"", "instrument",
          "leadwright instrument list shows them"};
}

}  // namespace

void Bench::instrument_list(const Answer& answer) {
  std::string body = "[";
  for (const WatchedAt& each : watches()) {
    if (body.size() > 1) body += ',';
    body += instrument_json(each.place, *each.watch);
  }
  answer({200, body + "]"});
}

void Bench::instrument_show(const Request& request, const Answer& answer) {
  const WatchedAt found = watched(request.subject);
  if (found.watch == nullptr) return answer(problem(no_instrument(request.subject)));
  answer({200, instrument_json(found.place, *found.watch)});
}

void Bench::instrument_trace(const Request& request, const Answer& answer) {
  const WatchedAt found = watched(request.subject);
  if (found.watch == nullptr) return answer(problem(no_instrument(request.subject)));
  const Result<Arguments> arguments = Arguments::parse(request.body, {"after"});
  if (!arguments) return answer(problem(arguments.error()));
  const auto number = arguments->whole("after");
  if (!number) return answer(problem(number.error()));
  answer({200, wire_trace_json(*found.watch, number->value_or(0))});
}

void Bench::trace_link(InstrumentWatch& watch, bool on) {
  Link& link = watch.instrument().link();
  std::shared_ptr<WireTrace> trace = watch.trace();
  if (!trace) trace = std::make_shared<WireTrace>(clocks_.machine, clocks_.bench);
  for (const WatchedAt& other : watches()) {
    if (&other.watch->instrument().link() == &link) other.watch->share(trace);
  }
  if (on) {
    WireTrace::listen(trace, link);
  } else {
    trace->leave(link);
  }
}

void Bench::instrument_trace_set(const Request& request, Answer answer) {
  const WatchedAt found = watched(request.subject);
  if (found.watch == nullptr) return answer(problem(no_instrument(request.subject)));
  const Result<Arguments> arguments = Arguments::parse(request.body, {"on"});
  if (!arguments) return answer(problem(arguments.error()));
  const auto on = arguments->truth("on");
  if (!on) return answer(problem({Errc::bad_input, "say whether it is on", "on", R"(send {"on": true})"}));
  InstrumentWatch& watch = *found.watch;
  const std::string& name = watch.instrument().name();
  const std::string words = fmt::format("trace {} by {}", *on ? "on" : "off", person_words(request.actor));
  if (!*on) watch.note(words);
  if (*on || watch.trace()) trace_link(watch, *on);
  if (*on) watch.note(words);
  log_event(Level::notice, "instrument.trace",
            {{"instrument", name}, {"link", watch.instrument().link().name()}, {"words", words}});
  Batch batch;
  batch.emplace_back(audit(request.actor, "instrument.trace", name, *on ? "on" : "off"));
  commit(std::move(batch), std::move(answer), {200, instrument_json(found.place, watch)});
}

}  // namespace leadwright
