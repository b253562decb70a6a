// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/json.h"

#include <array>
#include <boost/json.hpp>
#include <charconv>
#include <cmath>

#include "daemon/store/acid_json.h"
#include "daemon/store/fitting_json.h"
#include "daemon/store/json_writer.h"
#include "daemon/store/said_json.h"
#include "protocol/utf8.h"

namespace leadwright {

namespace {

namespace json = boost::json;

template <class T>
std::string objects(const std::vector<T>& items) {
  return json_array(items, [](const T& item) { return to_json(item); });
}

/// Zero stands for "no run" and "no ticket yet".
template <class Id>
std::optional<std::string> shown_or_none(Id id) {
  return id == Id{} ? std::nullopt : std::optional(shown(id));
}

template <class T, class InUnit>
void add_rating(ObjectText& out, const std::array<std::string_view, 2>& keys,
                const std::optional<Rating<T>>& rating, InUnit in_unit) {
  out.add(keys[0], rating ? std::optional<double>(in_unit(rating->value)) : std::nullopt);
  out.add(keys[1], rating ? std::optional<std::string>(word(rating->standard)) : std::nullopt);
}

void add_nameplate(ObjectText& out, const Nameplate& plate) {
  out.add("chemistry", word(plate.chemistry)).add("cells", plate.cells);
  add_rating(out, {"cca_a", "cca_standard"}, plate.cca, [](Ampere value) { return value.si(); });
  add_rating(out, {"reserve_capacity_min", "reserve_capacity_standard"}, plate.reserve_capacity, as_minutes);
  add_rating(out, {"c20_ah", "c20_standard"}, plate.c20, as_ampere_hours);
  out.add("size_code", plate.size_code).add("manufactured_on", plate.manufactured_on);
}

}  // namespace

std::string json_number(double value) {
  if (!std::isfinite(value)) return "null";
  std::array<char, 32> text{};
  const auto [end, error] = std::to_chars(text.data(), text.data() + text.size(), value);
  return {text.data(), end};
}

std::string json_string(std::string_view text) {
  const std::string readable = well_formed(text);
  return json::serialize(json::string_view(readable.data(), readable.size()));
}

std::string to_json(const Nameplate& nameplate) {
  ObjectText out;
  add_nameplate(out, nameplate);
  return out.take();
}

std::string to_json(const Battery& battery) {
  ObjectText out;
  out.add("battery", shown_or_none(battery.id)).add("serial", battery.serial);
  add_nameplate(out, battery.nameplate);
  return out.take();
}

std::string monitor_json(const VehicleMonitor& monitor) {
  const auto days = monitor.age ? std::optional(*monitor.age / hours(24.0)) : std::nullopt;
  const auto degc = monitor.battery ? std::optional(monitor.battery->degc()) : std::nullopt;
  const auto reset_on = monitor.reset_on.empty() ? std::nullopt : std::optional(monitor.reset_on);
  return ObjectText()
      .add("soc_1", monitor.soc)
      .add("age_days", days)
      .add("battery_degc", degc)
      .add("reset_on", reset_on)
      .take();
}

std::string to_json(const Ticket& ticket) {
  const std::string story = ObjectText()
                                .add("complaint", ticket.story.complaint)
                                .add("sold_on", ticket.story.sold_on)
                                .add("monitor_report", ticket.story.monitor_report)
                                .add("receipt", ticket.story.receipt)
                                .raw("monitor", monitor_json(ticket.story.monitor))
                                .take();
  const std::string inspection = ObjectText()
                                     .add("cracked", ticket.inspection.cracked)
                                     .add("leaking", ticket.inspection.leaking)
                                     .add("swollen", ticket.inspection.swollen)
                                     .add("frozen", ticket.inspection.frozen)
                                     .add("terminals_damaged", ticket.inspection.terminals_damaged)
                                     .add("remarks", ticket.inspection.remarks)
                                     .add("terminals_corroded", ticket.inspection.terminals_corroded)
                                     .add("vents_blocked", ticket.inspection.vents_blocked)
                                     .add("electrolyte_low", ticket.inspection.electrolyte_low)
                                     .add("label_unreadable", ticket.inspection.label_unreadable)
                                     .add("weight_kg", ticket.inspection.weight_kg)
                                     .raw("acid", acid_json(ticket.inspection.acid))
                                     .add("plus_at", ticket.inspection.plus_at)
                                     .add("post", ticket.inspection.post)
                                     .add("vehicle_size_code", ticket.inspection.vehicle_size_code)
                                     .add("vehicle_plus_at", ticket.inspection.vehicle_plus_at)
                                     .add("vehicle_post", ticket.inspection.vehicle_post)
                                     .take();
  return ObjectText()
      .add("ticket", shown_or_none(ticket.id))
      .add("battery", shown_or_none(ticket.battery))
      .add("previous", ticket.previous ? std::optional(shown(*ticket.previous)) : std::nullopt)
      .add("state", word(ticket.state))
      .add("state_reason", ticket.state_reason)
      .raw("said", phrases_json(ticket.state_said))
      .add("place", ticket.place)
      .add("received_at", ticket.received_at)
      .add("promised_at", ticket.promised_at)
      .add("state_since", ticket.state_since)
      .add("held_until", ticket.held_until)
      .add("closing", ticket.closing ? std::optional<std::string>(word(*ticket.closing)) : std::nullopt)
      .add("needs_recharge", ticket.needs_recharge)
      .raw("procedures", strings_json(ticket.asked_procedures))
      .raw("story", story)
      .raw("inspection", inspection)
      .take();
}

std::string to_json(const Consent& consent) {
  return ObjectText()
      .add("to", consent.to)
      .add("given_by", consent.given_by)
      .add("recorded_by", consent.recorded_by)
      .add("at", consent.at)
      .take();
}

std::string to_json(const Run& run) {
  return ObjectText()
      .add("run", shown_or_none(run.id))
      .add("ticket", shown_or_none(run.ticket))
      .add("place", run.place)
      .add("procedure", run.procedure)
      .add("procedure_version", run.procedure_version)
      .add("procedure_hash", run.procedure_hash)
      .add("started_at", run.started_at)
      .add("ended_at", run.ended_at)
      .add("outcome", word(run.outcome))
      .add("end_reason", run.end_reason)
      .raw("said", phrases_json(run.end_said))
      .raw("consent", run.consent ? to_json(*run.consent) : "null")
      .raw("instruments", instruments_json(run.instruments))
      .add("ends_at_v", run.ends_at ? std::optional(run.ends_at->si()) : std::nullopt)
      .take();
}

std::string to_json(const Finding& finding) {
  return ObjectText()
      .add("ticket", shown_or_none(finding.ticket))
      .add("run", shown_or_none(finding.run))
      .add("measurand", key(finding.measurand))
      .add("value", finding.value)
      .add("u", finding.u)
      .add("method", finding.method)
      .add("conditions", finding.conditions)
      .raw("budget", budget_json(finding.budget))
      .add("at", finding.at)
      .take();
}

std::string to_json(const Fault& fault) {
  return ObjectText()
      .add("ticket", shown_or_none(fault.ticket))
      .add("run", shown_or_none(fault.run))
      .add("kind", word(fault.kind))
      .add("evidence", fault.evidence)
      .add("at", fault.at)
      .raw("said", phrases_json(fault.said))
      .take();
}

std::string to_json(const Grade& grade) {
  return ObjectText()
      .add("ticket", shown_or_none(grade.ticket))
      .add("letter", std::string_view(&grade.letter, 1))
      .add("reason", grade.reason)
      .add("policy", grade.policy)
      .add("policy_hash", grade.policy_hash)
      .add("software", grade.software)
      .add("disposition", grade.disposition)
      .raw("rules", rules_json(grade.rules))
      .add("next_procedure", grade.next_procedure)
      .add("next_why", grade.next_why)
      .raw("flags", strings_json(grade.flags))
      .add("warranty", grade.warranty)
      .add("second_life", grade.second_life)
      .raw("said", said_json(grade.said))
      .add("at", grade.at)
      .take();
}

namespace {

ObjectText object_of(const GradeOverride& given) {
  ObjectText out;
  out.add("ticket", shown_or_none(given.ticket))
      .add("number", given.number)
      .add("letter", std::string_view(&given.letter, 1))
      .add("own_letter", std::string_view(&given.own_letter, 1))
      .add("own_reason", given.own_reason)
      .add("why", given.why)
      .add("disposition", given.disposition)
      .add("state", word(given.state))
      .add("proposed_by", given.proposed_by)
      .add("proposed_at", given.proposed_at)
      .add("settled_by", given.settled_by)
      .add("settled_at", given.settled_at);
  return out;
}

}  // namespace

std::string to_json(const GradeOverride& given) {
  return object_of(given).take();
}

std::string override_json(const GradeOverride& given, bool stands, bool waits) {
  return object_of(given).add("stands", stands).add("waits", waits).take();
}

std::string to_json(const Photo& photo) {
  return ObjectText()
      .add("photo", shown(photo.id))
      .add("ticket", shown_or_none(photo.ticket))
      .add("run", shown_or_none(photo.run))
      .add("about", photo.about)
      .add("at", photo.at)
      .raw("bytes", std::to_string(photo.bytes))
      .take();
}

std::string to_json(const Person& person) {
  return ObjectText()
      .add("person", shown(person.id))
      .add("name", person.is_erased() ? std::nullopt : std::optional(person.name))
      .take();
}

std::string to_json(const AuditEntry& entry) {
  return ObjectText()
      .add("at", entry.at)
      .add("actor", entry.actor)
      .add("what", entry.what)
      .add("subject", entry.subject)
      .add("why", entry.why)
      .take();
}

std::string ticket_json(const TicketPage& page) {
  const auto given = [&page](const GradeOverride& each) {
    return override_json(each, page.standing == each.number, page.waiting == each.number);
  };
  return ObjectText()
      .raw("ticket", to_json(page.ticket))
      .raw("battery", to_json(page.battery))
      .raw("runs", objects(page.runs))
      .raw("findings", objects(page.findings))
      .raw("faults", objects(page.faults))
      .raw("grade", page.grade ? to_json(*page.grade) : "null")
      .raw("overrides", json_array(page.overrides, given))
      .add("letter", page.letter ? std::optional(std::string(1, *page.letter)) : std::nullopt)
      .raw("photos", objects(page.photos))
      .raw("ahead", page.ahead)
      .raw("fit", json_array(layout_rows(page.battery.nameplate, page.ticket.inspection), fit_row_json))
      .raw("people", objects(page.people))
      .take();
}

std::string received_json(const Ticket& ticket, const std::vector<std::string>& warnings) {
  return ObjectText()
      .add("ticket", shown(ticket.id))
      .add("state", word(ticket.state))
      .add("state_reason", ticket.state_reason)
      .raw("warnings", strings_json(warnings))
      .take();
}

}  // namespace leadwright
