// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/memory_store.h"

#include <algorithm>
#include <iterator>
#include <set>
#include <utility>

#include "daemon/store/journal_codec.h"

namespace leadwright {

namespace {

template <class Map>
auto values(const Map& map) {
  std::vector<typename Map::mapped_type> all;
  all.reserve(map.size());
  for (const auto& [key, value] : map) all.push_back(value);
  return all;
}

template <class Map>
std::int64_t last(const Map& map) {
  return map.empty() ? 0 : static_cast<std::int64_t>(map.rbegin()->first);
}

}  // namespace

struct MemoryStore::Keeper {
  Kept& kept;
  void operator()(Battery& battery) const { kept.batteries[battery.id] = std::move(battery); }
  void operator()(Ticket& ticket) const { kept.tickets[ticket.id] = std::move(ticket); }
  void operator()(Run& run) const {
    if (run.outcome != RunOutcome::running) kept.journals.erase(run.id);
    kept.runs[run.id] = std::move(run);
  }
  void operator()(Finding& finding) const { kept.findings.push_back(std::move(finding)); }
  void operator()(Fault& fault) const { kept.faults.push_back(std::move(fault)); }
  void operator()(Grade& grade) const { kept.grades.push_back(std::move(grade)); }
  void operator()(GradeOverride& given) const {
    kept.overrides[{given.ticket, given.number}] = std::move(given);
  }
  void operator()(Photo& photo) const { kept.photos[photo.id] = std::move(photo); }
  void operator()(PlaceRecord& place) const { kept.places[place.name] = std::move(place); }
  void operator()(Person& person) const {
    Person& known = kept.people.try_emplace(person.id, person).first->second;
    if (!known.is_erased()) known = std::move(person);
  }
  void operator()(TraceBlock& block) const {
    kept.traces[block.run][block.sequence] = std::move(block.samples);
  }
  void operator()(RunJournal& journal) const { kept.journals[journal.run] = std::move(journal); }
  void operator()(NoResume& end) const { kept.journals.erase(end.run); }
  void operator()(KeptAnswer& answer) const {
    const Utc oldest = answer.at + (Second(0.0) - KeptAnswer::kept_for);
    std::erase_if(kept.answers,
                  [&](const KeptAnswer& old) { return old.at < oldest || old.key == answer.key; });
    kept.answers.push_back(std::move(answer));
  }
  void operator()(AuditEntry& entry) const { kept.audit.push_back(std::move(entry)); }
};

namespace {

/// Follows the references of a batch against what is stored and what stands before in the batch.
template <class Kept>
class References {
 public:
  explicit References(const Kept& kept) : kept_(kept) {}

  bool operator()(const Battery& battery) {
    batteries_.insert(battery.id);
    return true;
  }
  bool operator()(const Ticket& ticket) {
    const bool holds = (kept_.batteries.contains(ticket.battery) || batteries_.contains(ticket.battery)) &&
                       (!ticket.previous || has(*ticket.previous));
    tickets_.insert(ticket.id);
    return holds;
  }
  bool operator()(const Run& run) {
    runs_.insert(run.id);
    return has(run.ticket);
  }
  bool operator()(const Finding& finding) const { return has(finding.ticket) && has_or_none(finding.run); }
  bool operator()(const Fault& fault) const { return has(fault.ticket) && has_or_none(fault.run); }
  bool operator()(const Grade& grade) const { return has(grade.ticket); }
  bool operator()(const GradeOverride& given) const { return has(given.ticket); }
  bool operator()(const Photo& photo) const { return has(photo.ticket) && has_or_none(photo.run); }
  bool operator()(const PlaceRecord&) const { return true; }
  bool operator()(const Person&) const { return true; }
  bool operator()(const TraceBlock& block) const { return has(block.run); }
  bool operator()(const AuditEntry&) const { return true; }
  bool operator()(const RunJournal& journal) const { return has(journal.run); }
  bool operator()(const NoResume&) const { return true; }
  bool operator()(const KeptAnswer&) const { return true; }

 private:
  bool has(TicketId id) const { return kept_.tickets.contains(id) || tickets_.contains(id); }
  bool has(RunId id) const { return kept_.runs.contains(id) || runs_.contains(id); }
  bool has_or_none(RunId id) const { return id == RunId{} || has(id); }

  const Kept& kept_;
  std::set<BatteryId> batteries_;
  std::set<TicketId> tickets_;
  std::set<RunId> runs_;
};

}  // namespace

MemoryStore::MemoryStore(Clock& clock, StorePlan plan)
    : clock_(clock), plan_(plan), random_(plan.seed), timer_(clock) {}

Result<StoredBench> MemoryStore::load() {
  StoredBench bench;
  bench.batteries = values(kept_.batteries);
  bench.tickets = values(kept_.tickets);
  for (const auto& [id, run] : kept_.runs) {
    const bool is_closed = kept_.tickets.at(run.ticket).state == TicketState::closed;
    if (run.outcome == RunOutcome::running || !is_closed) bench.runs.push_back(run);
  }
  bench.findings = kept_.findings;
  bench.faults = kept_.faults;
  bench.grades = kept_.grades;
  bench.overrides = values(kept_.overrides);
  bench.photos = values(kept_.photos);
  for (Photo& photo : bench.photos) photo.jpeg.clear();
  bench.places = values(kept_.places);
  bench.people = values(kept_.people);
  for (const auto& [id, journal] : kept_.journals) {
    // By its text, as it comes out of a real store.
    auto read = decode_journal(encode_journal(journal));
    if (read) bench.journals.push_back({std::move(*read), *trace(id)});
  }
  bench.answers = kept_.answers;
  bench.last_battery = last(kept_.batteries);
  bench.last_ticket = last(kept_.tickets);
  bench.last_run = last(kept_.runs);
  bench.last_photo = last(kept_.photos);
  bench.simulated = plan_.simulated;
  return bench;
}

void MemoryStore::write(Batch batch, std::function<void(Result<void>)> done) {
  if (pending_.size() >= plan_.batches_max) {
    if (!done) return;
    clock_.loop().post([done = std::move(done)] {
      done(fail(Errc::busy, "the store's queue is full", {}, "check the disk: it does not keep up"));
    });
    return;
  }
  // Every draw is made for every batch, so that one plan's faults do not move another's latencies.
  const double latency = share();
  const bool fails = share() < plan_.fail_share;
  const bool stalls = share() < plan_.stall_share;
  Second takes = plan_.latency_min + (plan_.latency_max - plan_.latency_min) * latency;
  if (stalls) takes += plan_.stall;
  pending_.push_back({std::move(batch), std::move(done), takes, fails});
  if (pending_.size() == 1) start_next();
}

double MemoryStore::share() {
  return static_cast<double>(random_() >> 11) * 0x1p-53;
}

void MemoryStore::start_next() {
  timer_.set(clock_.now() + pending_.front().takes, [this] { finish_next(); });
}

void MemoryStore::finish_next() {
  Pending done = std::move(pending_.front());
  pending_.pop_front();
  if (!pending_.empty()) start_next();
  Result<void> result = check(done.batch);
  if (done.fails) result = fail(Errc::io, "the disk failed (by plan)");
  if (result) {
    for (Record& record : done.batch) std::visit(Keeper{kept_}, record);
  }
  if (done.done) clock_.loop().post([call = std::move(done.done), result] { call(result); });
}

Result<void> MemoryStore::check(const Batch& batch) const {
  References references(kept_);
  for (std::size_t i = 0; i < batch.size(); ++i) {
    if (std::visit(references, batch[i])) continue;
    return fail(Errc::bug, "record " + std::to_string(i) + " of a batch refers to what is not stored", {},
                "report this");
  }
  return {};
}

Result<std::vector<Sample>> MemoryStore::trace(RunId run) {
  std::vector<Sample> all;
  const auto found = kept_.traces.find(run);
  if (found == kept_.traces.end()) return all;
  for (const auto& [sequence, samples] : found->second) all.insert(all.end(), samples.begin(), samples.end());
  return all;
}

Result<std::string> MemoryStore::photo(PhotoId id) {
  const auto found = kept_.photos.find(id);
  return found == kept_.photos.end() ? std::string() : found->second.jpeg;
}

Result<std::vector<AuditEntry>> MemoryStore::audit_of(const std::string& subject) {
  std::vector<AuditEntry> entries;
  for (const AuditEntry& entry : kept_.audit) {
    if (entry.subject == subject) entries.push_back(entry);
  }
  return entries;
}

Result<std::vector<Ticket>> MemoryStore::closed_tickets(int count) {
  std::vector<Ticket> closed;
  for (auto each = kept_.tickets.rbegin(); each != kept_.tickets.rend(); ++each) {
    if (std::cmp_greater_equal(closed.size(), count)) break;
    if (each->second.state == TicketState::closed) closed.push_back(each->second);
  }
  return closed;
}

Result<StoredBench> MemoryStore::visit(TicketId id) {
  StoredBench visit;
  visit.simulated = plan_.simulated;
  const auto found = kept_.tickets.find(id);
  if (found == kept_.tickets.end()) return visit;
  visit.tickets.push_back(found->second);
  visit.batteries.push_back(kept_.batteries.at(found->second.battery));
  const auto is_of_it = [id](const auto& fact) { return fact.ticket == id; };
  const std::vector<Run> runs = values(kept_.runs);
  std::ranges::copy_if(runs, std::back_inserter(visit.runs), is_of_it);
  std::ranges::copy_if(kept_.findings, std::back_inserter(visit.findings), is_of_it);
  std::ranges::copy_if(kept_.faults, std::back_inserter(visit.faults), is_of_it);
  std::ranges::copy_if(kept_.grades, std::back_inserter(visit.grades), is_of_it);
  std::ranges::copy_if(values(kept_.overrides), std::back_inserter(visit.overrides), is_of_it);
  std::ranges::copy_if(values(kept_.photos), std::back_inserter(visit.photos), is_of_it);
  for (Photo& photo : visit.photos) photo.jpeg.clear();
  return visit;
}

Result<StoredBench> MemoryStore::everything() {
  auto bench = load();
  if (bench) bench->runs = values(kept_.runs);
  return bench;
}

void MemoryStore::power_cut() {
  timer_.cancel();
  pending_.clear();
}

}  // namespace leadwright
