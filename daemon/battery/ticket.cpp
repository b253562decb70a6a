// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/ticket.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <utility>

namespace leadwright {
namespace {

constexpr std::array<std::pair<TicketState, const char*>, 10> state_words{{
    {TicketState::received, "received"},
    {TicketState::refused, "refused"},
    {TicketState::waiting, "waiting"},
    {TicketState::charging, "charging"},
    {TicketState::resting, "resting"},
    {TicketState::testing, "testing"},
    {TicketState::graded, "graded"},
    {TicketState::recharging, "recharging"},
    {TicketState::held, "held"},
    {TicketState::closed, "closed"},
}};

constexpr std::array<std::pair<Closing, const char*>, 4> closing_words{{
    {Closing::handed_back, "handed_back"},
    {Closing::claimed, "claimed"},
    {Closing::resold, "resold"},
    {Closing::scrapped, "scrapped"},
}};

constexpr std::array<std::pair<RunOutcome, const char*>, 5> outcome_words{{
    {RunOutcome::running, "running"},
    {RunOutcome::complete, "complete"},
    {RunOutcome::stopped, "stopped"},
    {RunOutcome::tripped, "tripped"},
    {RunOutcome::void_, "void"},
}};

constexpr std::array<std::pair<Measurand, const char*>, 32> measurand_words{{
    {Measurand::ocv, "ocv_v"},
    {Measurand::soc, "soc_1"},
    {Measurand::resistance, "resistance_ohm"},
    {Measurand::reserve_capacity, "reserve_capacity_min"},
    {Measurand::reserve_capacity_ref, "reserve_capacity_ref_min"},
    {Measurand::delivered, "delivered_ah"},
    {Measurand::returned, "returned_ah"},
    {Measurand::temperature, "case_degc"},
    {Measurand::load_volts, "load_volts_v"},
    {Measurand::load_margin, "load_margin_v"},
    {Measurand::polarisation, "polarisation_ohm"},
    {Measurand::cranking_estimate, "cranking_estimate_a"},
    {Measurand::capacity_20h, "capacity_20h_ah"},
    {Measurand::capacity_20h_ref, "capacity_20h_ref_ah"},
    {Measurand::rest_slope, "rest_slope_mv_per_day"},
    {Measurand::self_discharge, "self_discharge_1_per_day"},
    {Measurand::charge_peak, "charge_peak_v"},
    {Measurand::charge_margin, "charge_margin_v"},
    {Measurand::accepted, "accepted_ah"},
    {Measurand::charge_needed, "charge_needed_ah"},
    {Measurand::amps_zero, "amps_zero_a"},
    {Measurand::meters_apart, "meters_apart_v"},
    {Measurand::reserve_capacity_at_least, "reserve_capacity_at_least_min"},
    {Measurand::reserve_capacity_ref_at_least, "reserve_capacity_ref_at_least_min"},
    {Measurand::reserve_capacity_ref_forecast, "reserve_capacity_ref_forecast_min"},
    {Measurand::load_margin_usual, "load_margin_usual_v"},
    {Measurand::acid_gravity, "acid_gravity_sg"},
    {Measurand::acid_spread, "acid_spread_sg"},
    {Measurand::acid_cell_below, "acid_cell_below_sg"},
    {Measurand::soc_by_acid, "soc_by_acid_1"},
    {Measurand::ocv_above_acid, "ocv_above_acid_v"},
    {Measurand::time_to_full, "time_to_full_min"},
}};

constexpr std::array<std::pair<FaultKind, const char*>, 8> fault_words{{
    {FaultKind::shorted_cell, "shorted_cell"},
    {FaultKind::open_circuit, "open_circuit"},
    {FaultKind::reversed, "reversed"},
    {FaultKind::wrong_cell_count, "wrong_cell_count"},
    {FaultKind::not_lead, "not_lead"},
    {FaultKind::takes_no_charge, "takes_no_charge"},
    {FaultKind::fails_under_load, "fails_under_load"},
    {FaultKind::unsafe, "unsafe"},
}};

template <class Table, class Value>
const char* find_word(const Table& table, Value value) {
  for (const auto& [candidate, text] : table)
    if (candidate == value) return text;
  return "?";
}

template <class Table>
auto find_value(const Table& table, std::string_view word) -> std::optional<decltype(table[0].first)> {
  for (const auto& [value, text] : table)
    if (word == text) return value;
  return {};
}

std::string six_digits(std::int64_t number) {
  std::string text = std::to_string(number);
  if (text.size() < 6) text.insert(0, 6 - text.size(), '0');
  return text;
}

/// Weights 2, 3, .. 10 from the right, again from 2 after 10: catches every single wrong digit and every
/// swap of two neighbours within nine places.
char check_digit(std::string_view number) {
  int sum = 0;
  int weight = 2;
  for (auto digit = number.rbegin(); digit != number.rend(); ++digit) {
    sum += weight * (*digit - '0');
    weight = weight == 10 ? 2 : weight + 1;
  }
  const int check = (11 - sum % 11) % 11;
  return check == 10 ? 'X' : static_cast<char>('0' + check);
}

}  // namespace

std::string shown(TicketId id) {
  const std::string number = six_digits(static_cast<std::int64_t>(id));
  return "T-" + number + "-" + check_digit(number);
}

std::string shown(RunId id) {
  return "R-" + six_digits(static_cast<std::int64_t>(id));
}

std::string shown(BatteryId id) {
  return "B-" + six_digits(static_cast<std::int64_t>(id));
}

Result<TicketId> parse_ticket_id(std::string_view text) {
  const std::string shape = "write it as printed on the label, for example " + shown(TicketId{123});
  const auto refuse = [&](const char* what) {
    std::string quoted(1, '"');
    quoted.append(text.substr(0, 40)).append("\" ").append(what);
    return fail(Errc::bad_input, std::move(quoted), "ticket", shape);
  };
  if (text.size() < 10 || text.size() > 22 || text.substr(0, 2) != "T-" || text[text.size() - 2] != '-') {
    return refuse("is not a ticket number");
  }
  const std::string_view number = text.substr(2, text.size() - 4);
  if (number.find_first_not_of("0123456789") != std::string_view::npos)
    return refuse("is not a ticket number");
  if (check_digit(number) != text.back()) return refuse("has a wrong check digit");
  std::int64_t value = 0;
  const auto [end, error] = std::from_chars(number.data(), number.data() + number.size(), value);
  if (error != std::errc() || end != number.data() + number.size() || value < 1) {
    return refuse("is not a ticket number");
  }
  if (shown(TicketId{value}) != text) return refuse("is not a ticket number");
  return TicketId{value};
}

Result<RunId> parse_run_id(std::string_view text) {
  std::int64_t value = 0;
  const std::string_view number = text.substr(std::min<std::size_t>(text.size(), 2));
  const auto [end, error] = std::from_chars(number.data(), number.data() + number.size(), value);
  if (error == std::errc() && value >= 1 && shown(RunId{value}) == text) return RunId{value};
  return fail(Errc::bad_input, '"' + std::string(text.substr(0, 40)) + "\" is not a run's number", "run",
              "write it as the ticket shows it, for example " + shown(RunId{123}));
}

const char* word(TicketState state) {
  return find_word(state_words, state);
}
std::optional<TicketState> ticket_state_of(std::string_view word) {
  return find_value(state_words, word);
}
const char* word(Closing closing) {
  return find_word(closing_words, closing);
}
std::optional<Closing> closing_of(std::string_view word) {
  return find_value(closing_words, word);
}
const char* word(RunOutcome outcome) {
  return find_word(outcome_words, outcome);
}
const char* key(Measurand measurand) {
  return find_word(measurand_words, measurand);
}
std::optional<Measurand> measurand_of(std::string_view key) {
  return find_value(measurand_words, key);
}
const char* word(FaultKind kind) {
  return find_word(fault_words, kind);
}
std::optional<FaultKind> fault_kind_of(std::string_view word) {
  return find_value(fault_words, word);
}

}  // namespace leadwright
