// SPDX-License-Identifier: Apache-2.0
#include "tests/store/store_world.h"

#include <gtest/gtest.h>
#include <stdlib.h>

namespace leadwright {

namespace {

constexpr std::int64_t day_ns = 86'400'000'000'000;
/// 2026-01-31T08:00:00Z and a nanosecond count that shows whether all digits survive.
constexpr Utc some_day(1'769'846'400'123'456'789);

}  // namespace

TempFolder::TempFolder() {
  std::string name = (std::filesystem::temp_directory_path() / "leadwright-test-XXXXXX").string();
  if (::mkdtemp(name.data()) == nullptr) throw std::runtime_error("no temporary folder");
  path_ = name;
}

TempFolder::~TempFolder() {
  std::error_code ignored;
  std::filesystem::remove_all(path_, ignored);
}

void QueueLoop::post(std::function<void()> work) {
  const std::lock_guard guard(mutex_);
  work_.push_back(std::move(work));
  arrived_.notify_one();
}

void QueueLoop::run_until(const std::function<bool()>& holds) {
  while (!holds()) {
    std::function<void()> next;
    {
      std::unique_lock lock(mutex_);
      arrived_.wait(lock, [this] { return !work_.empty(); });
      next = std::move(work_.front());
      work_.pop_front();
    }
    next();
  }
}

Result<void> write_now(Store& store, QueueLoop& loop, Batch batch) {
  std::optional<Result<void>> answer;
  store.write(std::move(batch), [&](Result<void> result) { answer = std::move(result); });
  loop.run_until([&] { return answer.has_value(); });
  return *answer;
}

std::unique_ptr<SqliteStore> open_store(const std::string& folder, QueueLoop& loop, bool simulated) {
  StoreOptions options;
  options.folder = folder;
  options.simulated = simulated;
  auto store = SqliteStore::open(options, loop);
  if (!store) throw std::runtime_error(store.error().line());
  return std::move(*store);
}

void make_database(const std::string& folder, int rows) {
  QueueLoop loop;
  const auto store = open_store(folder, loop);
  for (int row = 1; row <= rows; ++row) {
    const auto written = write_now(*store, loop, {example_audit(row)});
    if (!written) throw std::runtime_error(written.error().line());
  }
}

Battery example_battery(int number) {
  Battery battery;
  battery.id = BatteryId{number};
  battery.serial = "SN-" + std::to_string(number);
  battery.nameplate.chemistry = Chemistry::efb;
  battery.nameplate.cells = 6;
  battery.nameplate.cca = Rating<Ampere>{Ampere(640.0), RatingStandard::en};
  battery.nameplate.reserve_capacity = Rating<Second>{minutes(110.0), RatingStandard::sae};
  battery.nameplate.c20 = Rating<Coulomb>{ampere_hours(65.0), RatingStandard::unknown};
  battery.nameplate.size_code = "H6";
  battery.nameplate.manufactured_on = "2024-03";
  return battery;
}

Ticket example_ticket(int number) {
  Ticket ticket;
  ticket.id = TicketId{number};
  ticket.battery = BatteryId{1};
  ticket.story = {"won't crank; \"dead\"", "2025-02-03", "replace soon"};
  ticket.story.monitor = {0.82, hours(24.0 * 640.0), Celsius(21.5), "2024-03-20"};
  ticket.inspection.terminals_damaged = true;
  ticket.inspection.remarks = "schön verkratzt";
  ticket.state = TicketState::waiting;
  ticket.state_reason = "waits for a bay";
  ticket.place = "shelf";
  ticket.inspection.terminals_corroded = true;
  ticket.inspection.electrolyte_low = true;
  ticket.inspection.weight_kg = 16.4;
  ticket.inspection.plus_at = "right";
  ticket.inspection.vehicle_plus_at = "left";
  ticket.inspection.post = ticket.inspection.vehicle_post = "taper_large";
  ticket.inspection.vehicle_size_code = "L2";
  ticket.state_said = say("waits_for", "waits for a bay").phrases();
  ticket.inspection.acid = AcidReading{
      {SpecificGravity{1.265}, std::nullopt, SpecificGravity{1.2575}}, Celsius(21.5), Utc(some_day.ns() + 7)};
  ticket.received_at = some_day;
  ticket.promised_at = Utc(some_day.ns() + 2 * day_ns);
  ticket.state_since = Utc(some_day.ns() + 1);
  ticket.held_until = Utc(some_day.ns() + day_ns);
  ticket.asked_procedures = {"intake check", "reserve capacity"};
  ticket.needs_recharge = true;
  return ticket;
}

Run example_run(int number) {
  Run run;
  run.id = RunId{number};
  run.ticket = TicketId{1};
  run.place = "bay-1";
  run.procedure = "reserve capacity";
  run.procedure_version = 3;
  run.procedure_hash = "00ff";
  run.started_at = some_day;
  run.outcome = RunOutcome::running;
  run.consent = Consent{"complete discharge", "A. Owner", "counter", some_day};
  run.instruments = {{"bay-1.load", "MAKER LOAD 4711", "2027-03-01", true}};
  run.ends_at = Volt(10.5);
  return run;
}

Finding example_finding() {
  Finding finding;
  finding.ticket = TicketId{1};
  finding.run = RunId{1};
  finding.measurand = Measurand::reserve_capacity;
  finding.value = 101.1 + 0.2;
  finding.u = 0.1;
  finding.method = "discharge at 25 A";
  finding.conditions = "rested; 24.1 degC";
  finding.budget = {{"voltmeter gain", "0.05 % rect.", 0.02}, {"timing", "0.5 s rect.", 1.0 / 3.0}};
  finding.at = some_day;
  return finding;
}

Fault example_fault() {
  return {TicketId{1},
          RunId{},
          FaultKind::shorted_cell,
          "10.6 V at rest",
          some_day,
          say("seen_at_rest", "{volts} at rest", {said_amount("volts", 10.6, 1, "V")}).phrases()};
}

Grade example_grade() {
  Grade grade;
  grade.ticket = TicketId{1};
  grade.letter = 'B';
  grade.reason = "Holds 92 % of its rating.";
  grade.policy = "bench acceptance 1";
  grade.policy_hash = "ab";
  grade.software = "0.1.0";
  grade.disposition = "hand back";
  grade.rules = {{"limit of B", "conforms to 80 %", "min", 80.0, 92.0, 1.5, 2.5, 0.99, "conforms"},
                 {"a rule without numbers", "does not conform to 100 %"}};
  grade.next_procedure = "reserve capacity";
  grade.next_why = "A second test halves what one test leaves open.";
  grade.flags = {"The receipt was shown before."};
  grade.warranty = "3 months in service.";
  grade.second_life = "Light duty.";
  grade.said.reason =
      say("holds", "Holds {share} of its rating.", {said_amount("share", 92.0, 0, "%")}).phrases();
  grade.said.flags = {
      say("shown", "Receipt {receipt} was shown.", {said_words("receipt", "R \"7\"")}).phrases()};
  grade.rules.front().said = say("limit", "{limit}", {said_amount("limit", 80.0, 1, "min")}).phrases();
  grade.at = some_day;
  return grade;
}

GradeOverride example_override(int number) {
  GradeOverride given;
  given.ticket = TicketId{1};
  given.number = number;
  given.letter = 'C';
  given.own_letter = 'D';
  given.own_reason = "Gives 60 of 110 minutes.";
  given.why = "its owner knows, and wants it for a pump";
  given.disposition = "return to owner";
  given.proposed_by = "ana";
  given.proposed_at = Utc(1'700'000'000'000'000'001);
  return given;
}

Photo example_photo(const std::string& jpeg) {
  return {PhotoId{1}, TicketId{1}, RunId{1}, "the label", some_day, static_cast<std::int64_t>(jpeg.size()),
          jpeg};
}

AuditEntry example_audit(int number) {
  return {Utc(some_day.ns() + number), "pat", "ticket.move", "T-000001-9",
          "reason " + std::to_string(number)};
}

std::vector<Sample> example_samples(int count) {
  std::vector<Sample> samples;
  for (int i = 0; i < count; ++i) {
    Sample sample;
    sample.at = Instant(500'000'007LL * i) - Instant();
    sample.step = 1 + i / 40;
    sample.volts = Volt((12'650 - i) / 1000.0);
    if (i % 7 != 3) sample.amps = Ampere((25'000 + i % 3) / 1000.0);
    if (i % 10 == 0) sample.temperature = Celsius((241 + i / 20) / 10.0);
    samples.push_back(sample);
  }
  return samples;
}

Batch example_visit() {
  return {example_battery(), example_ticket(), example_run()};
}

}  // namespace leadwright
