// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/journal_codec.h"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <boost/json/parse.hpp>
#include <boost/json/serialize.hpp>
#include <cmath>
#include <limits>

#include "daemon/store/json.h"

namespace leadwright {

namespace {

namespace js = boost::json;

js::string text_value(std::string_view text) {
  return js::string(text.data(), text.size());
}

template <class Value>
js::value maybe(const std::optional<Value>& value) {
  if (!value) return nullptr;
  if constexpr (requires { value->si(); }) {
    return value->si();
  } else if constexpr (requires { value->degc(); }) {
    return value->degc();
  } else {
    return *value;
  }
}

js::object span_value(const Trace::StepSpan& span) {
  return {{"step", span.step},           {"name", text_value(span.name)},     {"first", span.first},
          {"last", span.last},           {"started_s", span.started_at.si()}, {"ended_s", span.ended_at.si()},
          {"end", text_value(span.end)}, {"continues", span.continues}};
}

js::object finding_value(const Finding& finding) {
  return {{"ticket", static_cast<std::int64_t>(finding.ticket)},
          {"run", static_cast<std::int64_t>(finding.run)},
          {"measurand", key(finding.measurand)},
          {"value", finding.value},
          {"u", finding.u},
          {"method", text_value(finding.method)},
          {"conditions", text_value(finding.conditions)},
          {"budget", text_value(budget_json(finding.budget))},
          {"at", finding.at.ns()}};
}

js::object fault_value(const Fault& fault) {
  return {{"ticket", static_cast<std::int64_t>(fault.ticket)},
          {"run", static_cast<std::int64_t>(fault.run)},
          {"kind", word(fault.kind)},
          {"evidence", text_value(fault.evidence)},
          {"at", fault.at.ns()}};
}

/// Reads an object; what is missing or of another type is remembered, and something harmless is given.
class Strict {
 public:
  Strict(const js::value& value, bool& is_sound) : is_sound_(is_sound) {
    if (value.is_object()) {
      object_ = &value.get_object();
    } else {
      is_sound_ = false;
    }
  }
  double number(const char* name) { return number_of(at(name)); }
  std::int64_t integer(const char* name) {
    const js::value& value = at(name);
    if (!value.is_int64()) is_sound_ = false;
    return value.is_int64() ? value.get_int64() : 0;
  }
  int small(const char* name) {
    const std::int64_t value = integer(name);
    if (value < 0 || value > std::numeric_limits<int>::max()) is_sound_ = false;
    return is_sound_ ? static_cast<int>(value) : 0;
  }
  std::size_t size(const char* name) { return static_cast<std::size_t>(small(name)); }
  bool flag(const char* name) {
    const js::value& value = at(name);
    if (!value.is_bool()) is_sound_ = false;
    return value.is_bool() && value.get_bool();
  }
  std::string text(const char* name) { return text_of(at(name)); }
  const js::array& array(const char* name) { return array_of(at(name)); }
  template <class Q>
  std::optional<Q> maybe_amount(const char* name) {
    const js::value& value = at(name);
    return value.is_null() ? std::nullopt : std::optional(Q(number_of(value)));
  }

  double number_of(const js::value& value) {
    const bool is_number = value.is_double() || value.is_int64();
    if (!is_number) is_sound_ = false;
    const double number = value.is_double()  ? value.get_double()
                          : value.is_int64() ? static_cast<double>(value.get_int64())
                                             : 0.0;
    if (!std::isfinite(number)) is_sound_ = false;
    return number;
  }
  std::string text_of(const js::value& value) {
    if (!value.is_string()) is_sound_ = false;
    return value.is_string() ? std::string(value.get_string().data(), value.get_string().size()) : "";
  }
  const js::array& array_of(const js::value& value) {
    static const js::array none;
    if (!value.is_array()) is_sound_ = false;
    return value.is_array() ? value.get_array() : none;
  }
  /// Of a pair [text, value].
  const js::value& second_of(const js::value& pair, std::string& first) {
    static const js::value none;
    const js::array& both = array_of(pair);
    if (both.size() != 2) is_sound_ = false;
    if (both.size() != 2) return none;
    first = text_of(both[0]);
    return both[1];
  }
  void refuse() { is_sound_ = false; }

 private:
  const js::value& at(const char* name) {
    static const js::value none;
    const js::value* found = object_ != nullptr ? object_->if_contains(name) : nullptr;
    if (found == nullptr) is_sound_ = false;
    return found != nullptr ? *found : none;
  }
  const js::object* object_ = nullptr;
  bool& is_sound_;
};

Trace::StepSpan span_of(Strict from) {
  Trace::StepSpan span;
  span.step = from.small("step");
  span.name = from.text("name");
  span.first = from.size("first");
  span.last = from.size("last");
  span.started_at = Second(from.number("started_s"));
  span.ended_at = Second(from.number("ended_s"));
  span.end = from.text("end");
  span.continues = from.flag("continues");
  return span;
}

Finding kept_finding(Strict from) {
  Finding finding;
  finding.ticket = TicketId{from.integer("ticket")};
  finding.run = RunId{from.integer("run")};
  const auto measurand = measurand_of(from.text("measurand"));
  if (!measurand) from.refuse();
  finding.measurand = measurand.value_or(Measurand::ocv);
  finding.value = from.number("value");
  finding.u = from.number("u");
  finding.method = from.text("method");
  finding.conditions = from.text("conditions");
  auto budget = budget_of(from.text("budget"));
  if (!budget) from.refuse();
  if (budget) finding.budget = std::move(*budget);
  finding.at = Utc(from.integer("at"));
  return finding;
}

Fault kept_fault(Strict from) {
  const auto kind = fault_kind_of(from.text("kind"));
  if (!kind) from.refuse();
  return {TicketId{from.integer("ticket")}, RunId{from.integer("run")}, kind.value_or(FaultKind::unsafe),
          from.text("evidence"), Utc(from.integer("at"))};
}

void read_names_kept(Strict& from, RunJournal& journal) {
  for (const js::value& back : from.array("backs"))
    journal.backs.push_back(static_cast<int>(from.number_of(back)));
  for (const js::value& frame : from.array("own")) {
    std::vector<std::optional<double>>& slots = journal.own.emplace_back();
    for (const js::value& slot : from.array_of(frame))
      slots.push_back(slot.is_null() ? std::nullopt : std::optional(from.number_of(slot)));
  }
  for (const js::value& pair : from.array("parameters")) {
    std::string name;
    const double value = from.number_of(from.second_of(pair, name));
    journal.parameters.emplace_back(name, value);
  }
  for (const js::value& pair : from.array("estimated")) {
    std::string name;
    const std::string note = from.text_of(from.second_of(pair, name));
    journal.estimated.emplace(name, note);
  }
}

}  // namespace

std::string encode_journal(const RunJournal& journal) {
  js::array backs(journal.backs.begin(), journal.backs.end());
  js::array own;
  for (const auto& frame : journal.own) {
    js::array slots;
    for (const auto& slot : frame) slots.push_back(maybe(slot));
    own.push_back(std::move(slots));
  }
  js::array parameters;
  for (const auto& [name, value] : journal.parameters)
    parameters.push_back(js::array{text_value(name), value});
  js::array estimated;
  for (const auto& [name, note] : journal.estimated)
    estimated.push_back(js::array{text_value(name), text_value(note)});
  js::array spans;
  for (const Trace::StepSpan& span : journal.spans) spans.push_back(span_value(span));
  js::array findings;
  for (const Finding& finding : journal.findings) findings.push_back(finding_value(finding));
  js::array faults;
  for (const Fault& fault : journal.faults) faults.push_back(fault_value(fault));
  return js::serialize(js::object{{"format", RunJournal::format},
                                  {"run", static_cast<std::int64_t>(journal.run)},
                                  {"at", journal.at.ns()},
                                  {"bench_at_ns", journal.bench_at.ns()},
                                  {"started_by", text_value(journal.started_by)},
                                  {"instruments", text_value(journal.instruments)},
                                  {"paused", text_value(journal.paused)},
                                  {"interruptions", journal.interruptions},
                                  {"interrupted_s", journal.interrupted.si()},
                                  {"unmeasured_as", journal.unmeasured.si()},
                                  {"step_unmeasured_as", journal.step_unmeasured.si()},
                                  {"step", journal.step},
                                  {"step_s", journal.step_time.si()},
                                  {"run_s", journal.run_time.si()},
                                  {"amps_max_a", journal.amps_max.si()},
                                  {"step_charge_as", journal.step_charge.si()},
                                  {"run_charge_as", journal.run_charge.si()},
                                  {"step_energy_ws", journal.step_energy.si()},
                                  {"backs", std::move(backs)},
                                  {"own", std::move(own)},
                                  {"parameters", std::move(parameters)},
                                  {"estimated", std::move(estimated)},
                                  {"findings", std::move(findings)},
                                  {"faults", std::move(faults)},
                                  {"rested_v", maybe(journal.rested)},
                                  {"volts_v", maybe(journal.volts)},
                                  {"samples", journal.samples},
                                  {"blocks", journal.blocks},
                                  {"spans", std::move(spans)}});
}

Result<RunJournal> decode_journal(std::string_view text) {
  js::error_code failed;
  const js::value root = js::parse(js::string_view(text.data(), text.size()), failed);
  bool is_sound = !failed;
  Strict from(root, is_sound);
  RunJournal journal;
  if (from.integer("format") != RunJournal::format) from.refuse();
  journal.run = RunId{from.integer("run")};
  journal.at = Utc(from.integer("at"));
  journal.bench_at = Instant(from.integer("bench_at_ns"));
  journal.started_by = from.text("started_by");
  journal.instruments = from.text("instruments");
  journal.paused = from.text("paused");
  journal.interruptions = from.small("interruptions");
  journal.interrupted = Second(from.number("interrupted_s"));
  journal.unmeasured = Coulomb(from.number("unmeasured_as"));
  journal.step_unmeasured = Coulomb(from.number("step_unmeasured_as"));
  journal.step = from.size("step");
  journal.step_time = Second(from.number("step_s"));
  journal.run_time = Second(from.number("run_s"));
  journal.amps_max = Ampere(from.number("amps_max_a"));
  journal.step_charge = Coulomb(from.number("step_charge_as"));
  journal.run_charge = Coulomb(from.number("run_charge_as"));
  journal.step_energy = Joule(from.number("step_energy_ws"));
  read_names_kept(from, journal);
  for (const js::value& finding : from.array("findings"))
    journal.findings.push_back(kept_finding({finding, is_sound}));
  for (const js::value& fault : from.array("faults")) journal.faults.push_back(kept_fault({fault, is_sound}));
  journal.rested = from.maybe_amount<Volt>("rested_v");
  journal.volts = from.maybe_amount<Volt>("volts_v");
  journal.samples = from.size("samples");
  journal.blocks = from.small("blocks");
  for (const js::value& span : from.array("spans")) journal.spans.push_back(span_of({span, is_sound}));
  if (!is_sound) return fail(Errc::garbled, "the journal of a run can't be read", "run_journal");
  return journal;
}

}  // namespace leadwright
