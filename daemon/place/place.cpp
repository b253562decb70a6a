// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/place.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace leadwright {

const char* word(Activity activity) {
  constexpr std::array words{"idle", "connecting", "ready", "running", "tripped", "asking", "out_of_service"};
  return words[static_cast<std::size_t>(activity)];
}

Place::Place(PlaceSettings settings, std::unique_ptr<PlaceInstruments> instruments, Clocks clocks,
             Store& store, PlaceEvents& events, bool simulated)
    : settings_(std::move(settings)),
      instruments_(std::move(instruments)),
      clocks_(clocks),
      store_(store),
      events_(events),
      simulated_(simulated),
      wake_(clocks.machine),
      presence_(clocks.machine) {
  presence_.on_asking = [this] { ask_for_presence(); };
  presence_.on_lapsed = [this] { presence_lapsed(); };
  if (settings_.kind == PlaceKind::shelf) problem_.clear();
}

Activity Place::activity() const {
  if (settings_.kind == PlaceKind::shelf) return Activity::idle;
  if (!trip_.empty()) return Activity::tripped;
  if (execution_) return Activity::running;
  if (out_of_service_) return Activity::out_of_service;
  if (!ready_) return Activity::connecting;
  if (ask_) return Activity::asking;
  return Activity::ready;
}

void Place::look_every(Second period) {
  look_period_ = period;
  wake_.notify();
}

void Place::open() {
  if (settings_.kind == PlaceKind::shelf) return;
  job_ = Job(clocks_.machine.loop(), live_on());
}

Result<void> Place::start(RunOrder order) {
  if (settings_.kind == PlaceKind::shelf) {
    return fail(Errc::conflict, "a shelf has no instruments", name(),
                "move the battery to a bay or a charging place");
  }
  if (!trip_.empty()) {
    return fail(Errc::conflict, "the place is tripped: " + trip(), name(),
                "find the cause, then acknowledge the trip");
  }
  if (execution_)
    return fail(Errc::conflict, "a run is going on here", name(), "wait for its end or stop it");
  if (out_of_service_) {
    return fail(Errc::conflict, "the place is out of service", name(),
                "put it back first: leadwright place in-service " + name());
  }
  if (!ready_) {
    return fail(Errc::conflict, "the instruments are not ready: " + problem_, name(),
                "mend what the place says it needs");
  }
  const bool goes_on = order.from != nullptr;
  order.place_is_attended_only = settings_.attended_only;
  auto execution = std::make_unique<RunExecution>(std::move(order), *instruments_, clocks_, store_);
  const std::string because = execution->attended_because();
  // What was interrupted stands still until a person lets it go on.
  if (!because.empty() && !goes_on && !presence_.is_there()) {
    return fail(Errc::conflict, "nobody has confirmed to be at this place: " + because, name(),
                "go there, then: leadwright place acknowledge " + name() + " --of presence");
  }
  ask_.reset();
  execution_ = std::move(execution);
  execution_->on_question = [this](std::optional<Ask> question) { set_ask(std::move(question)); };
  execution_->may_energise = [this] { return !is_attended_run() || presence_.is_there(); };
  wake_.notify();
  events_.place_changed(*this);
  return {};
}

bool Place::is_attended_run() const {
  return execution_ && !execution_->attended_because().empty();
}

void Place::confirm_presence() {
  presence_.confirm();
  if (ask_ && ask_->of == AskOf::presence) set_ask(std::nullopt);
}

void Place::ask_for_presence() {
  if (!is_attended_run()) return;
  Sentence text = in_own_words(execution_->attended_because());
  text.say("confirm_presence",
           ": confirm within {minutes} minutes that somebody is there, or what is energised at {place} is "
           "switched off",
           {said_amount("minutes", as_minutes(Presence::asked_before), 0, ""), said_words("place", name())});
  set_ask(Ask{AskOf::presence, text.text(), text.phrases()});
}

void Place::presence_lapsed() {
  if (!is_attended_run() || !execution_->is_energised()) return;
  Sentence why =
      say("presence_lapsed", "nobody has confirmed to be at {place} for {minutes} minutes: ",
          {said_words("place", name()), said_amount("minutes", as_minutes(Presence::counts_for), 0, "")});
  execution_->stop(why.add(in_own_words(execution_->attended_because())));
}

Result<void> Place::stop(const Sentence& reason) {
  if (!execution_) return fail(Errc::conflict, "nothing runs here", name());
  execution_->stop(reason);
  return {};
}

Result<void> Place::pause(const Sentence& reason) {
  if (!execution_) return fail(Errc::conflict, "nothing runs here", name());
  Result<void> paused = execution_->pause(reason);
  if (paused) events_.place_changed(*this);
  return paused;
}

Result<void> Place::resume() {
  if (!execution_) return fail(Errc::conflict, "nothing runs here", name());
  Result<void> resumed = execution_->resume();
  if (resumed) events_.place_changed(*this);
  return resumed;
}

Result<void> Place::set_out_of_service(bool out) {
  if (settings_.kind == PlaceKind::shelf) {
    return fail(Errc::conflict, "a shelf has nothing that could be out of service", name());
  }
  if (execution_) return fail(Errc::conflict, "a run is going on here", name(), "stop it first");
  if (out == out_of_service_) {
    return fail(Errc::conflict, out ? "it is out of service already" : "it is in service", name());
  }
  out_of_service_ = out;
  events_.place_changed(*this);
  return {};
}

void Place::stop_all(const Sentence& reason) {
  instruments_->cut_now();
  if (execution_) execution_->stop(reason);
}

Result<void> Place::answer(const std::string& words) {
  if (!execution_) return fail(Errc::conflict, "nothing runs here that could ask", name());
  return execution_->answer(words);
}

void Place::set_ask(std::optional<Ask> ask) {
  ask_ = std::move(ask);
  events_.place_changed(*this);
}

void Place::restore(const PlaceRecord& record) {
  trip_ = Sentence(record.latched_trip, record.trip_said);
  // Perhaps because off could not be verified.
  if (!trip_.empty()) instruments_->doubt_off();
  out_of_service_ = record.out_of_service && settings_.kind != PlaceKind::shelf;
}

void Place::latch(const Sentence& trip) {
  trip_ = trip;
}

void Place::unlatch() {
  trip_ = Sentence();
  // What is still on is told of at once, and not after the pause between two attempts.
  wake_.notify();
  events_.place_changed(*this);
}

std::string Place::where_configured(const Instrument* instrument) const {
  const std::optional<InstrumentSettings>& settings =
      instrument == instruments_->thermometer() ? settings_.thermometer
      : settings_.two_quadrant                  ? settings_.two_quadrant
      : instrument == instruments_->load()      ? settings_.load
                                                : settings_.charger;
  return settings ? settings->where : std::string();
}

Task<void> Place::connect_all() {
  // Off to each before any is asked: one that does not answer must not keep another on.
  for (Instrument* instrument : instruments_->all()) {
    if (instrument->state() != LinkState::ready) co_await instrument->reach();
  }
  BackOff pause;
  while (!is_equipped()) {
    // The others may have gone as well meanwhile, or not be off.
    co_await instruments_->look_at_those_there();
    if (instruments_->may_flow()) co_await quieten_those_there();
    std::string problem;
    for (const auto& watch : instruments_->watches()) {
      const Instrument& instrument = watch->instrument();
      if (instrument.state() == LinkState::ready) continue;
      const Result<void> connected = co_await leadwright::connect(*watch, {clocks_, simulated_});
      if (!connected && instrument.refuses_off()) {
        instruments_->doubt_off();
        shout(false, connected.error());
      }
      if (connected || !problem.empty()) continue;
      const std::string where = where_configured(&instrument);
      problem = where + (where.empty() ? "" : ": ") + instrument.name() + ": " + connected.error().line();
    }
    if (is_equipped()) break;
    if (problem.empty()) problem = instruments_->waits_for();
    if (problem != problem_) {
      problem_ = problem;
      events_.place_changed(*this);
    }
    co_await wake_.wait_until(clocks_.machine.now() + pause.next());
  }
  if (instruments_->may_flow()) co_await end_stray_current();
  problem_.clear();
  ready_ = true;
  events_.place_changed(*this);
}

bool Place::is_equipped() const {
  return instruments_->all_ready() && instruments_->waits_for().empty();
}

Task<void> Place::look() {
  const Result<Sample> sample = co_await instruments_->sample(Energy::none, clocks_.bench.now());
  live_ = {};
  if (sample) live_ = {sample->volts, sample->amps, sample->temperature};
  // What stands on open leads is not the battery's voltage.
  if (!instruments_->is_connected()) live_.volts.reset();
  co_await instruments_->look_around();
  if (instruments_->may_flow()) co_await end_stray_current();
}

Task<void> Place::end_stray_current() {
  const bool is_seen = instruments_->still_flows();
  const Result<void> off = co_await instruments_->make_safe();
  if (!off) shout(is_seen, off.error());
}

Task<void> Place::quieten_those_there() {
  const bool is_seen = instruments_->still_flows();
  const Result<void> off = co_await instruments_->make_those_there_safe();
  // One that went away meanwhile is asked when it is back, before the place is ready.
  if (!off && off.error().code == Errc::not_verified) shout(is_seen, off.error());
}

void Place::shout(bool current_is_seen, const Error& why) {
  // A run that was ordered meanwhile begins with the same question.
  if (execution_ || !trip_.empty()) return;
  trip_ = current_is_seen ? say("current_flows", "current flows though nothing runs: ")
                          : say("off_not_verified", "off could not be verified: ");
  trip_.add(in_own_words(why.line()));
  instruments_->alarm(fmt::format("{} tripped: {}", name(), trip()));
  Batch batch;
  batch.emplace_back(PlaceRecord{name(), out_of_service_, trip(), trip_.phrases()});
  store_.write(std::move(batch), {});
  events_.place_changed(*this);
}

Task<void> Place::live_on() {
  while (true) {
    ready_ = false;
    co_await connect_all();
    while (is_equipped()) {
      if (execution_) {
        RunResult result = co_await execution_->execute();
        if (!result.trip.empty()) trip_ = result.trip;
        const std::unique_ptr<RunExecution> ended = std::move(execution_);
        events_.run_ended(*this, std::move(result));
      } else {
        co_await look();
      }
      if (!execution_) co_await wake_.wait_until(clocks_.machine.now() + look_period_);
    }
    problem_ = instruments_->all_ready() ? instruments_->waits_for() : "an instrument was lost";
    events_.place_changed(*this);
  }
}

}  // namespace leadwright
