// SPDX-License-Identifier: Apache-2.0
// The bench as a whole: tickets, places and the work between them. For: main, rehearsals and tests, which
// give it clocks, a store and instruments. Thread: control. Never: blocks, and never shows a change that it
// has not handed to the store. Read next: planner.h (what comes next), ../place/place.h (how it is done),
// service.h.
#pragma once

#include <map>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "daemon/battery/design_curve_text.h"
#include "daemon/battery/people.h"
#include "daemon/grading/policy.h"
#include "daemon/place/air.h"
#include "daemon/place/place.h"
#include "daemon/queue/alarm_calls.h"
#include "daemon/queue/arguments.h"
#include "daemon/queue/chart.h"
#include "daemon/queue/interrupted.h"
#include "daemon/queue/kept_answers.h"
#include "daemon/queue/needs.h"
#include "daemon/queue/planner.h"
#include "daemon/queue/service.h"
#include "daemon/queue/suggestion.h"
#include "daemon/queue/unsaved.h"
#include "daemon/store/drop_off.h"
#include "daemon/store/part_table.h"

namespace leadwright {

struct BenchSettings {
  std::string name = "bench";
  bool simulated = false;
  Policy policy;
  PartTable parts;
  EstimatorSettings estimator;
  std::vector<DesignCurve> designs;  ///< as-new curves that the bench has learnt
  std::vector<Procedure> procedures;
  std::string software;
  Precautions precautions;
  AlarmSettings alarm;
};

class Bench final : public Service, public PlaceEvents {
 public:
  /// How long an acknowledgement of the cautions counts for a person: a shift, in machine time.
  static constexpr Second shift{8.0 * 3600.0};
  /// How often held tickets are looked at, in machine time.
  static constexpr Second housekeeping_period{60.0};
  /// How often a run that waits to go on is looked at, in machine time.
  static constexpr Second interrupted_look_period{1.0};
  /// Within this machine time of an alarm somebody is called.
  static constexpr Second alarm_look_period{1.0};

  Bench(BenchSettings settings, Clocks clocks, Store& store);

  /// Boxes and shared instruments first, then the places that name them.
  void add_box(const BoxSettings& settings, std::unique_ptr<Instrument> instrument);
  void add_shared(std::unique_ptr<Instrument> instrument);
  /// `wiring` holds the place's own instruments; what it shares follows from `settings`.
  void add_place(PlaceSettings settings, PlaceWiring wiring);
  /// Takes over what the store kept: a run that was going on goes on once its place is ready, if its
  /// procedure lets it; else it is void and its ticket waits again, with the reason. Then opens every place,
  /// which makes its instruments safe first.
  void begin(StoredBench stored);

  void handle(Request request, std::function<void(Response)> answer) override;
  std::string snapshot() override;
  /// The same, a few places or tickets in each turn of the loop, so that no sample waits for all of it. What
  /// changes meanwhile may show in one part and not yet in another. The bench must outlive it.
  Task<std::string> snapshot_in_turns();

  /// Off on every link, at once: synchronous. Runs end as stopped and their places latch.
  void stop_all(const Sentence& reason, const std::string& actor);
  /// Somebody is called for each alarm from now on, and for those that are not acknowledged yet. `hook`
  /// carries a call out without blocking.
  void call_on_alarm(std::function<void(const AlarmCall&)> hook);
  /// The off path alone, for signal and bug handlers: no bookkeeping, no allocation.
  void off_now() noexcept;

  /// Where something is energised that was not watched for too long, one sentence; nothing if each place's
  /// protection ran.
  std::optional<std::string> protection_overdue() const;
  /// "16 places, 3 at work, 1 tripped"
  std::string status_line() const;

  void run_ended(Place& place, RunResult result) override;
  void place_changed(Place& place) override;

  Ledger& ledger() { return ledger_; }
  const PersonBook& people() const { return people_; }
  Place* place(std::string_view name);
  const std::vector<std::unique_ptr<Place>>& places() const { return places_; }
  const std::vector<std::unique_ptr<Box>>& boxes() const { return boxes_; }
  /// Called after each run, for rehearsals and tests.
  std::function<void(const Place&, const RunResult&)> on_run_ended;

 private:
  using Answer = std::function<void(Response)>;

  /// With a code for whoever asks.
  void carry_out(const Request& request, Answer answer);
  void person_list(const Answer& answer) const;
  void person_erase(const Request& request, Answer answer);
  /// Whom the ticket's consents and overrides name.
  std::vector<Person> people_of(const TicketFile& file) const;
  /// The body of a drop-off, with its date code read and its procedures known.
  Result<DropOff> dropped_off(const std::string& body) const;
  void ticket_add(const Request& request, Answer answer);
  /// Has the answer kept in the batch, if the request has a key, and counted once the batch is durable.
  Answer kept(const Request& request, const Response& created, Batch& batch, Answer then);
  void ticket_list(const Request& request, const Answer& answer);
  void ticket_show(const Request& request, const Answer& answer);
  /// The body of ticket.show.
  std::string page_of(const TicketFile& file) const;
  /// Its first state, and for when it is promised if nobody said. What a person should know: `warnings`.
  void receive(TicketFile& file, std::vector<std::string>& warnings);
  /// The ticket is still what the request's entity tag was given for.
  bool is_unchanged(const Request& request);
  void ticket_move(const Request& request, Answer answer);
  void ticket_close(const Request& request, Answer answer);
  void ticket_hold(const Request& request, Answer answer);
  void ticket_recheck(const Request& request, Answer answer);
  void ticket_inspect(const Request& request, Answer answer);
  void refuse_or_hold(TicketFile& file, Batch& batch);
  void grade_anew(TicketFile& file, Batch& batch);
  void ticket_override(const Request& request, Answer answer);
  void ticket_override_confirm(const Request& request, Answer answer);
  void ticket_override_withdraw(const Request& request, Answer answer);
  void ticket_photo(const Request& request, Answer answer);
  void photo_erase(const Request& request, Answer answer);
  /// The run that asks a person about this ticket now, or null.
  const RunExecution* run_that_asks(const TicketFile& file);
  void settle_override(GradeOverride& given, OverrideState state, const std::string& actor) const;
  void place_list(const Answer& answer);
  void place_start(const Request& request, const Answer& answer);
  void place_stop(const Request& request, Answer answer);
  void place_pause(const Request& request, Answer answer);
  void place_resume(const Request& request, Answer answer);
  void place_service(const Request& request, bool out, Answer answer);
  /// What a person does at a place for a reason; what it changes goes into the batch.
  using UpkeepAct = std::function<Result<void>(Place&, const std::string& why, Batch&)>;
  /// What these have in common: the place, the reason, the journal.
  void place_upkeep(const Request& request, const char* what, const UpkeepAct& act, Answer answer);
  void alarm_test(const Request& request, Answer answer);
  /// Tells who is called for alarms what is an alarm now.
  void follow_alarms();
  void place_acknowledge(const Request& request, Answer answer);
  void procedure_list(const Answer& answer);
  void procedure_plan(const Request& request, const Answer& answer);
  void part_show(const Request& request, const Answer& answer);
  void fitting_check(const Request& request, const Answer& answer);
  void stop_everything(const Request& request, const Answer& answer);
  void run_trace(const Request& request, const Answer& answer);
  void instrument_list(const Answer& answer);
  void instrument_show(const Request& request, const Answer& answer);
  void instrument_trace(const Request& request, const Answer& answer);
  void instrument_trace_set(const Request& request, Answer answer);
  void metrics(const Answer& answer);

  Result<void> may_start(const TicketFile& file, Place& place, const Procedure& wanted,
                         const std::string& actor, const Choices& parameters);
  /// What every order holds, whether its run begins or goes on.
  RunOrder order_for(const TicketFile& file, const Place& place, const Procedure& procedure,
                     const Choices& parameters) const;
  /// Every run that the store has as going on: void, or to go on later.
  void take_interrupted(std::vector<StoredJournal> journals, Batch& batch);
  /// A battery that tests drew by more may not leave before a recharge: the test itself would spoil it.
  static Coulomb drawn_allowed(const Nameplate& nameplate);
  /// A test that draws a battery below 75 % by its limits, or that nobody knows any more.
  bool may_have_emptied(const TicketFile& file, const Run& run);
  /// By its runs alone, each of which drew what its procedure may: how much it was, the daemon knew that is
  /// gone.
  bool may_lack_charge(const TicketFile& file);
  void void_run(TicketFile& file, Run& run, const Sentence& reason, Batch& batch);
  /// Each interrupted run goes on, waits for its place, or is void by now.
  void look_at_interrupted();
  /// Why it can't go on any more, `gap` after its journal, or nothing.
  Sentence why_lost(const Place& place, const StoredJournal& stored, const TicketFile& file,
                    Second gap) const;
  void resume_run(Place& place, const StoredJournal& stored, TicketFile& file, Second gap);
  /// By a person, or because something else happens at the place. False if nothing waits there.
  bool give_up_interrupted(const Place& place, const Sentence& reason, Batch& batch);
  bool is_interrupted(const std::string& place) const { return interrupted_.contains(place); }
  /// Who starts a run, and what was said with it.
  struct RunWish {
    std::string actor;
    Choices parameters;
    std::string consented_by;  ///< as typed
  };
  Result<void> start_run(TicketFile& file, Place& place, const Procedure& procedure, RunWish wish);
  /// Of a piece of work at the first place that can do it; zero if none can.
  Second expected_time(const TicketFile& file, const Work& work) const;
  static Result<Choices> chosen_parameters(const Procedure& procedure, const Arguments& arguments);
  Result<void> acknowledge(Place& place, AskOf of, const Arguments& arguments, const std::string& actor,
                           Batch& batch);
  const Procedure* procedure(std::string_view name) const;
  GasOff gas_off(const TicketFile& file) const;
  /// After a restart: a charge that tripped may have gone on, also after somebody acknowledged the trip,
  /// until off is proved anew where its battery still stands.
  void doubt_off_after(const Run& charge, const Ticket& ticket);
  /// What is known before the run; a name that can't be bound is refused by the run, with its reason.
  static Values values_of(const Procedure& procedure, const TicketFile& file, const Place& place,
                          const Choices& parameters);
  /// What the charges that go on need.
  Airflow air_taken() const;
  /// Fails with conflict, with the figures, if the declared airflow is not enough for one more charge.
  Result<void> has_air(const TicketFile& file, Airflow needed) const;
  /// What a person at the place must know now, for the page.
  std::vector<Sentence> precautions_at(const Place& place, const TicketFile* file) const;
  /// The reason for the journal. Fails with conflict while the gas of a charge has not gone, unless the
  /// person says why: what leaks or burns must come off its clamps all the same.
  Result<std::string> unclamped(const TicketFile& file, const std::string& why) const;
  TicketFile* ticket_at(const Place& place);
  /// Where the ticket stands a run of it goes on, or waits to go on after an interruption.
  bool has_run_going_on(const TicketFile& file);
  /// Whose run this is, or null.
  TicketFile* ticket_of(RunId run);
  /// An instrument and the place that has it; boxes and shared instruments belong to none.
  struct WatchedAt {
    std::string place;
    InstrumentWatch* watch = nullptr;
  };
  std::vector<WatchedAt> watches();
  /// Without a watch if there is none of that name.
  WatchedAt watched(std::string_view name);
  Contact contact(const ContactSettings& settings) const;
  /// Why nothing may be energised on this bench, or nothing.
  std::optional<std::string> alarm() const;
  /// For each instrument on the link of that one.
  void trace_link(InstrumentWatch& watch, bool on);
  void set_state(TicketFile& file, TicketState state, const Sentence& reason);
  /// A held ticket goes on from where it stood: graded if it was.
  void take_up_again(TicketFile& file, const Sentence& reason);
  void settle_ticket(TicketFile& file, Batch& batch);
  /// Asks for the clamps, or, where a person has reseated them already, blames the battery.
  void judge_collapse(TicketFile& file, RunResult& result) const;
  /// Where a bad clamp would look like this. With the run's findings in the file.
  void ask_for_clamps(const TicketFile& file, RunResult& result) const;
  /// The same before a charge that may end early for it. Fails with conflict, having asked at the place.
  Result<void> ask_before_charge(const TicketFile& file, Place& place, const Procedure& wanted) const;
  void take_results(TicketFile& file, const RunResult& result, Batch& batch);
  void go_on(TicketFile& file, Place& place);
  void keep_house();
  void commit(Batch batch, Answer answer, Response response);
  AuditEntry audit(const std::string& actor, const std::string& what, const std::string& subject,
                   const std::string& why) const;
  /// Of a person, for this ticket and the work that is due for it.
  std::optional<Needs> needs_of(const TicketFile& file, const Work& next);
  std::string chart_of(const Place& place);
  /// Says at each place which of its instruments has a twin that nobody could tell from it.
  void find_twins();
  /// A snapshot under way: what was written so far, and what comes next.
  struct SnapshotParts {
    std::string places;
    std::string alarms;
    std::string queue;
    FreeAndWaiting moves;
    std::size_t place = 0;           ///< index of the next
    std::optional<TicketId> ticket;  ///< the last
  };
  void add_to(SnapshotParts& parts, Place& place);
  void add_to(SnapshotParts& parts, const TicketFile& file);
  /// False if nothing is left to add.
  bool add_turn(SnapshotParts& parts);
  std::string whole(const SnapshotParts& parts) const;

  BenchSettings settings_;
  Clocks clocks_;
  Store& store_;
  Ledger ledger_;
  PersonBook people_;
  std::vector<std::unique_ptr<Box>> boxes_;
  std::vector<std::unique_ptr<SharedInstrument>> shared_;
  std::vector<std::unique_ptr<Place>> places_;
  std::map<std::string, Instant, std::less<>> cautions_until_;       ///< by actor, machine time
  std::map<std::string, std::vector<Sentence>, std::less<>> twins_;  ///< by place: notices
  std::map<std::string, std::string, std::less<>> started_by_;       ///< by place: who started the work there
  struct EndedRun {
    RunId run;
    Trace trace;
  };
  std::map<std::string, EndedRun, std::less<>> traces_;  ///< newest ended run of each place
  std::map<std::string, Chart, std::less<>> charts_;     ///< by place: of what its run, or its newest, showed
  std::string store_problem_;
  Unsaved unsaved_;
  KeptAnswers kept_answers_;
  std::map<std::string, StoredJournal, std::less<>> interrupted_;  ///< by place: a run to go on
  Timer interrupted_look_;
  Timer housekeeping_;
  AlarmCalls alarm_calls_;
  Timer alarm_look_;
  std::string snapshot_;
  Instant snapshot_at_;
};

}  // namespace leadwright
