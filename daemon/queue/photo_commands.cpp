// SPDX-License-Identifier: Apache-2.0
// The verbs of the service: a photo for a ticket, and its erasure.
#include <fmt/format.h>

#include <algorithm>

#include "daemon/queue/bench.h"
#include "daemon/queue/problem.h"
#include "daemon/store/json.h"
#include "daemon/store/photo_json.h"
#include "protocol/utf8.h"

namespace leadwright {

namespace {

constexpr int created_status = 201;

}  // namespace

const RunExecution* Bench::run_that_asks(const TicketFile& file) {
  const Place* const at = place(file.ticket.place);
  const bool asks = at != nullptr && at->ask() && at->ask()->of == AskOf::question;
  return asks && ledger_.at_place(at->name()) == &file ? at->run() : nullptr;
}

void Bench::ticket_photo(const Request& request, Answer answer) {
  TicketFile* file = ledger_.find_shown(request.subject);
  if (file == nullptr) return answer(problem(no_ticket(request.subject)));
  Result<HandedPhoto> handed = parse_photo(request.body);
  if (!handed) return answer(problem(handed.error()));
  const auto kept = std::ranges::count_if(file->photos, [](const Photo& each) { return each.bytes > 0; });
  if (std::cmp_greater_equal(kept, Photo::of_a_ticket_max)) {
    return answer(problem({Errc::conflict, fmt::format("this ticket has {} photos already", kept),
                           request.subject, "erase one that says nothing"}));
  }
  Photo photo;
  photo.id = ledger_.next_photo();
  photo.ticket = file->ticket.id;
  photo.about = std::move(handed->about);
  if (const RunExecution* const run = run_that_asks(*file)) {
    photo.run = run->order().run.id;
    if (photo.about.empty()) photo.about = place(file->ticket.place)->ask()->text;
  }
  photo.at = clocks_.bench.utc();
  photo.bytes = static_cast<std::int64_t>(handed->jpeg.size());
  file->photos.push_back(photo);
  photo.jpeg = std::move(handed->jpeg);
  Response response{created_status, to_json(photo)};
  Batch batch;
  batch.emplace_back(audit(request.actor, request.verb, request.subject, shown(photo.id)));
  batch.emplace_back(std::move(photo));
  commit(std::move(batch), std::move(answer), std::move(response));
}

void Bench::photo_erase(const Request& request, Answer answer) {
  const Result<PhotoId> id = parse_photo_id(request.subject);
  Photo* const photo = id ? ledger_.find(*id) : nullptr;
  if (photo == nullptr) {
    return answer(problem(
        {Errc::not_found, "there is no photo " + request.subject, "photo", "the ticket shows its photos"}));
  }
  const Result<Arguments> arguments = Arguments::parse(request.body, {"why"});
  if (!arguments) return answer(problem(arguments.error()));
  const std::string why = arguments->text("why").value_or("");
  if (why.empty()) {
    return answer(problem({Errc::bad_input, "a photo is erased for a reason", "why", "say why"}));
  }
  if (photo->bytes == 0) {
    return answer(problem({Errc::conflict, "this photo is erased already", request.subject, ""}));
  }
  photo->bytes = 0;
  photo->about.clear();
  Batch batch;
  batch.emplace_back(*photo);
  batch.emplace_back(
      audit(request.actor, request.verb, shown(photo->ticket), fmt::format("{}: {}", shown(photo->id), why)));
  commit(std::move(batch), std::move(answer), {200, to_json(*photo)});
}

}  // namespace leadwright
