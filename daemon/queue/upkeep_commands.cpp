// SPDX-License-Identifier: Apache-2.0
// The verbs of the service: stopping and pausing a run, taking a place out of service, trying the alarm.
#include <fmt/format.h>

#include "daemon/queue/bench.h"
#include "daemon/queue/problem.h"
#include "daemon/store/json.h"

namespace leadwright {

namespace {
/// In the batch that acknowledges it: what a person halted is not gone on with, whatever becomes of the rest.
void never_resume(const Place& at, Batch& batch) {
  if (at.run() != nullptr) batch.emplace_back(NoResume{at.run()->order().run.id});
}
}  // namespace

void Bench::place_upkeep(const Request& request, const char* what, const UpkeepAct& act, Answer answer) {
  Place* at = place(request.subject);
  if (at == nullptr) return answer(problem(no_place(request.subject)));
  const Result<Arguments> arguments = Arguments::parse(request.body, {"why"});
  if (!arguments) return answer(problem(arguments.error()));
  const std::string why = arguments->text("why").value_or("");
  if (why.empty()) {
    return answer(problem(
        {Errc::bad_input, std::string(what).append(" needs a reason"), "why", "say why in a few words"}));
  }
  Batch batch;
  const Result<void> done = act(*at, why, batch);
  if (!done) return answer(problem(done.error()));
  batch.emplace_back(audit(request.actor, request.verb, at->name(), why));
  commit(std::move(batch), std::move(answer),
         {200, fmt::format(R"({{"place":{}}})", json_string(at->name()))});
}

void Bench::place_stop(const Request& request, Answer answer) {
  const std::string actor = request.actor;
  place_upkeep(
      request, "a stop",
      [this, &actor](Place& at, const std::string& why, Batch& batch) -> Result<void> {
        const Sentence reason = say("stopped_by", "stopped by {person}: {why}",
                                    {said_words("person", person_words(actor)), said_words("why", why)});
        if (give_up_interrupted(at, reason, batch)) return {};
        never_resume(at, batch);
        return at.stop(reason);
      },
      std::move(answer));
}

void Bench::place_pause(const Request& request, Answer answer) {
  const std::string actor = request.actor;
  place_upkeep(
      request, "a pause",
      [&actor](Place& at, const std::string& why, Batch& batch) {
        at.confirm_presence();
        // Until the journal says that it stands still: what was paused must not go on by itself.
        never_resume(at, batch);
        return at.pause(say("paused_by", "paused by {person}: {why}",
                            {said_words("person", person_words(actor)), said_words("why", why)}));
      },
      std::move(answer));
}

void Bench::place_resume(const Request& request, Answer answer) {
  place_upkeep(
      request, "going on",
      [](Place& at, const std::string&, Batch&) {
        at.confirm_presence();
        return at.resume();
      },
      std::move(answer));
}

void Bench::place_service(const Request& request, bool out, Answer answer) {
  place_upkeep(
      request, "this",
      [out](Place& at, const std::string&, Batch& batch) {
        at.confirm_presence();
        Result<void> done = at.set_out_of_service(out);
        batch.emplace_back(
            PlaceRecord{at.name(), at.is_out_of_service(), at.trip(), at.trip_said().phrases()});
        return done;
      },
      std::move(answer));
}

void Bench::alarm_test(const Request& request, Answer answer) {
  const Result<Arguments> arguments = Arguments::parse(request.body, {});
  if (!arguments) return answer(problem(arguments.error()));
  const Result<void> called = alarm_calls_.test(settings_.name, request.actor);
  if (!called) return answer(problem(called.error()));
  Batch batch;
  batch.emplace_back(audit(request.actor, request.verb, settings_.name, ""));
  commit(std::move(batch), std::move(answer), {200, R"({"called":true})"});
}

void Bench::follow_alarms() {
  for (const auto& each : places_) alarm_calls_.follow(each->name(), each->trip());
  alarm_calls_.follow(settings_.name, alarm().value_or(""));
  alarm_look_.set(clocks_.machine.now() + alarm_look_period, [this] { follow_alarms(); });
}

void Bench::call_on_alarm(std::function<void(const AlarmCall&)> hook) {
  alarm_calls_.hook = std::move(hook);
  follow_alarms();
}

}  // namespace leadwright
