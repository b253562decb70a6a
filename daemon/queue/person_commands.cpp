// SPDX-License-Identifier: Apache-2.0
// Who asks, as a code, before anything is done; and the verbs about people: who they are, and whose name is
// erased.
#include "daemon/queue/bench.h"
#include "daemon/queue/overrule.h"
#include "daemon/queue/problem.h"
#include "daemon/store/json.h"

namespace leadwright {

void Bench::handle(Request request, std::function<void(Response)> answer) {
  request.actor = people_.coded(request.actor);
  carry_out(request, std::move(answer));
  people_.forget_unused();
}

void Bench::person_list(const Answer& answer) const {
  std::string body = "[";
  for (const auto& [id, person] : people_.all()) {
    if (body.size() > 1) body += ',';
    body += to_json(person);
  }
  answer({200, body + "]"});
}

void Bench::person_erase(const Request& request, Answer answer) {
  const auto id = parse_person_id(request.subject);
  if (!id || people_.find(*id) == nullptr) {
    return answer(problem({Errc::not_found, "there is no person \"" + request.subject + "\"", "person",
                           "leadwright person list shows them"}));
  }
  const Result<Arguments> arguments = Arguments::parse(request.body, {"why"});
  if (!arguments) return answer(problem(arguments.error()));
  const std::string why = arguments->text("why").value_or("");
  if (why.empty()) {
    return answer(
        problem({Errc::bad_input, "an erasure needs a reason", "why", "say why, without the name"}));
  }
  Result<Person> erased = people_.erase(*id);
  if (!erased) return answer(problem(erased.error()));
  Response response{200, to_json(*erased)};
  Batch batch;
  batch.emplace_back(std::move(*erased));
  batch.emplace_back(audit(request.actor, request.verb, request.subject, why));
  commit(std::move(batch), std::move(answer), std::move(response));
}

std::vector<Person> Bench::people_of(const TicketFile& file) const {
  std::map<PersonId, Person> named;
  const auto add = [&](const std::string& code) {
    if (const Person* person = people_.find(code)) named.insert_or_assign(person->id, *person);
  };
  for (const Run& run : file.runs) {
    if (!run.consent) continue;
    add(run.consent->given_by);
    add(run.consent->recorded_by);
  }
  for (const GradeOverride& given : file.overrides) {
    add(given.proposed_by);
    add(given.settled_by);
  }
  std::vector<Person> all;
  all.reserve(named.size());
  for (auto& [id, person] : named) all.push_back(std::move(person));
  return all;
}

}  // namespace leadwright
