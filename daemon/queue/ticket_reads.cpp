// SPDX-License-Identifier: Apache-2.0
// The verbs of the service: reading tickets.
#include <algorithm>
#include <iterator>

#include "daemon/battery/content_hash.h"
#include "daemon/queue/bench.h"
#include "daemon/queue/needs.h"
#include "daemon/queue/outlook.h"
#include "daemon/queue/overrule.h"
#include "daemon/queue/problem.h"
#include "daemon/queue/reception.h"
#include "daemon/store/drop_off.h"
#include "daemon/store/json.h"

namespace leadwright {

namespace {

constexpr std::uint64_t page_default = 200;
/// Some 2 ms of control's time, in which a breach elsewhere would have to wait.
constexpr std::uint64_t page_max = 500;

struct ListWish {
  std::optional<std::string> state;
  std::uint64_t limit = page_default;
  std::optional<TicketId> after;
};

Result<ListWish> list_wish(const std::string& body) {
  const Result<Arguments> arguments = Arguments::parse(body, {"state", "limit", "cursor"});
  if (!arguments) return tl::unexpected<Error>(arguments.error());
  ListWish wish;
  wish.state = arguments->text("state");
  if (wish.state && !ticket_state_of(*wish.state)) {
    return fail(Errc::bad_input, "there is no state \"" + *wish.state + "\"", "state");
  }
  const auto limit = arguments->whole("limit");
  if (!limit) return tl::unexpected<Error>(limit.error());
  wish.limit = limit->value_or(page_default);
  if (wish.limit < 1 || wish.limit > page_max) {
    return fail(Errc::bad_input, "a page can't have so many tickets", "limit",
                "give 1 to " + std::to_string(page_max));
  }
  if (const auto cursor = arguments->text("cursor")) {
    const auto id = parse_ticket_id(*cursor);
    if (!id) {
      return fail(Errc::bad_input, "this is no cursor", "cursor", "take it from the Link of the page before");
    }
    wish.after = *id;
  }
  return wish;
}

bool is_before_its_grade(TicketState state) {
  return state == TicketState::received || state == TicketState::waiting || state == TicketState::charging ||
         state == TicketState::resting || state == TicketState::testing;
}

}  // namespace

namespace {

/// A ticket of a list, with what a row about it shows.
std::string listed(const TicketFile& file) {
  std::string json = to_json(file.ticket);
  json.pop_back();
  const auto letter = letter_that_stands(file);
  return json.append(R"(,"label":)")
      .append(json_string(label_of(file)))
      .append(R"(,"letter":)")
      .append(letter ? json_string(std::string(1, *letter)) : "null")
      .append("}");
}

}  // namespace

void Bench::ticket_list(const Request& request, const Answer& answer) {
  const Result<ListWish> wish = list_wish(request.body);
  if (!wish) return answer(problem(wish.error()));
  const auto& files = ledger_.files();
  Response response{200, "["};
  std::uint64_t count = 0;
  std::string last;
  for (auto each = wish->after ? files.upper_bound(*wish->after) : files.begin(); each != files.end();
       ++each) {
    const Ticket& ticket = each->second.ticket;
    if (wish->state && word(ticket.state) != *wish->state) continue;
    if (count == wish->limit) {
      response.next = last;
      break;
    }
    if (count++ > 0) response.body += ',';
    response.body += listed(each->second);
    last = shown(ticket.id);
  }
  response.body += "]";
  answer(std::move(response));
}

std::string Bench::page_of(const TicketFile& file) const {
  const auto takes = [&](const Work& work) { return expected_time(file, work); };
  const auto number = [](const GradeOverride* given) {
    return given != nullptr ? std::optional(given->number) : std::nullopt;
  };
  std::vector<Ahead> outlook = outlook_of(file, settings_.policy, takes);
  for (Ahead& each : outlook) each.work.place_kind = kind_to_do(each.work, places_);
  return ticket_json({file.battery, file.ticket, file.runs, file.findings, file.faults, file.grade,
                      file.overrides, letter_that_stands(file), number(standing_override(file)),
                      number(proposed_override(file)), file.photos, outlook_json(outlook), people_of(file)});
}

Result<DropOff> Bench::dropped_off(const std::string& body) const {
  Result<DropOff> drop_off = parse_drop_off(body);
  if (!drop_off) return drop_off;
  Result<void> dated = read_date_code(*drop_off, clocks_.bench.utc());
  if (!dated) return pass(dated);
  for (const std::string& asked : drop_off->procedures) {
    if (procedure(asked) == nullptr)
      return fail(Errc::bad_input, "there is no procedure \"" + asked + "\"", "procedures");
  }
  if (drop_off->inspection.acid) drop_off->inspection.acid->at = clocks_.bench.utc();
  return drop_off;
}

void Bench::receive(TicketFile& file, std::vector<std::string>& warnings) {
  const Reception reception =
      reception_of(file.battery.nameplate, file.ticket.inspection, settings_.precautions.weight);
  set_state(file, reception.state, reception.reason);
  std::ranges::copy(advice_on(file.ticket.inspection), std::back_inserter(warnings));
  if (reception.state == TicketState::held) warnings.push_back(reception.reason.text());
  if (auto differs = layout_warning(file.battery.nameplate, file.ticket.inspection); !differs.empty())
    warnings.push_back(std::move(differs));
  if (reception.state != TicketState::received || file.ticket.promised_at) return;
  HouseLoad load;
  for (const auto& [id, other] : ledger_.files()) {
    if (id != file.ticket.id && is_before_its_grade(other.ticket.state)) ++load.waiting;
  }
  for (const auto& each : places_) {
    if (each->kind() == PlaceKind::bay) ++load.bays;
    if (each->kind() == PlaceKind::charging) ++load.charging_places;
  }
  const auto takes = [&](const Work& work) { return expected_time(file, work); };
  const auto stay = expected_stay(outlook_of(file, settings_.policy, takes), load);
  if (stay) file.ticket.promised_at = promise_after(clocks_.bench.utc(), *stay);
}

void Bench::ticket_show(const Request& request, const Answer& answer) {
  const TicketFile* file = ledger_.find_shown(request.subject);
  if (file == nullptr) return answer(problem(no_ticket(request.subject)));
  answer({200, page_of(*file)});
}

bool Bench::is_unchanged(const Request& request) {
  const TicketFile* file = ledger_.find_shown(request.subject);
  // What is not there is refused with its own reason.
  if (file == nullptr || request.if_match == "*") return true;
  return request.if_match.find(content_tag(page_of(*file))) != std::string::npos;
}

}  // namespace leadwright
