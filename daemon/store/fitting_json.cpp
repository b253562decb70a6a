// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/fitting_json.h"

#include <boost/json.hpp>
#include <utility>

#include "daemon/store/drop_off.h"
#include "daemon/store/json.h"
#include "daemon/store/json_object.h"
#include "daemon/store/label_reader.h"

namespace leadwright {

namespace {

constexpr std::size_t ticket_bytes_max = 64;

void read_battery(JsonObject label, FitSide& side, Utc today, std::vector<Error>& errors) {
  DropOff drop;
  read_nameplate(label, LabelOf::battery, "battery.", drop.nameplate, drop.date_code, errors);
  label.finish();
  if (const auto dated = read_date_code(drop, today); !dated) errors.push_back(dated.error());
  side.nameplate = std::move(drop.nameplate);
}

void read_posts(JsonObject& object, FitSide& side) {
  side.plus_at = object.choice("plus_at", plus_words()).value_or("");
  side.post = object.choice("post", post_words()).value_or("");
}

void read_vehicle(JsonObject vehicle, FitSide& side, std::vector<Error>& errors) {
  std::string no_date_code;
  read_nameplate(vehicle, LabelOf::vehicle, "vehicle.", side.nameplate, no_date_code, errors);
  read_posts(vehicle, side);
  vehicle.finish();
}

std::optional<MeterReading> read_reading(JsonObject reading) {
  const auto volts = reading.number_within("ocv_v", 0.0, 30.0);
  const auto degc = reading.number_within("battery_degc", -40.0, 80.0);
  const auto stood = reading.number_within("stood_h", 0.0, 100000.0);
  if (!reading.has("ocv_v")) reading.error("ocv_v", "missing", "read the volts at the posts");
  reading.finish();
  if (!volts) return std::nullopt;
  MeterReading read{Volt(*volts), {}, {}};
  if (degc) read.battery = Celsius(*degc);
  if (stood) read.stood = hours(*stood);
  return read;
}

AfterFitting read_after(JsonObject after) {
  AfterFitting read;
  if (const auto days = after.number_within("monitor_age_days", 0.0, 10000.0))
    read.monitor_age = hours(24.0 * *days);
  read.monitor_soc = after.number_within("monitor_soc_1", 0.0, 1.0);
  if (const auto volts = after.number_within("running_v", 0.0, 30.0)) read.running = Volt(*volts);
  if (const auto amps = after.number_within("drain_a", 0.0, 100.0)) read.drain = Ampere(*amps);
  after.finish();
  return read;
}

std::string number_or_null(const std::optional<double>& value) {
  return value ? json_number(*value) : "null";
}

template <class Code>
std::string code_or_null(const std::optional<Code>& code) {
  return code ? json_string(word(*code)) : "null";
}

std::optional<double> value_of(const std::optional<Finding>& finding) {
  return finding ? std::optional(finding->value) : std::nullopt;
}

std::optional<double> u_of(const std::optional<Finding>& finding) {
  return finding ? std::optional(finding->u) : std::nullopt;
}

std::string charge_json(const FittingAnswer& answer, const FittingRules& rules) {
  const auto charging = answer.charging ? std::optional(as_minutes(*answer.charging)) : std::nullopt;
  return "{\"soc_1\":" + number_or_null(value_of(answer.soc)) +
         ",\"u_1\":" + number_or_null(u_of(answer.soc)) + ",\"soc_min_1\":" + json_number(rules.soc_min) +
         ",\"needed_ah\":" + number_or_null(value_of(answer.needed)) +
         ",\"needed_u_ah\":" + number_or_null(u_of(answer.needed)) +
         ",\"minutes\":" + number_or_null(charging) + "}";
}

std::string after_json(const AfterAnswer& after) {
  constexpr double day_s = 86400.0;
  const auto days = after.half_empty ? std::optional(after.half_empty->si() / day_s) : std::nullopt;
  return "{\"monitor\":" + code_or_null(after.monitor) +
         ",\"soc_apart_1\":" + number_or_null(after.soc_apart) +
         ",\"running\":" + code_or_null(after.running) + ",\"drain\":" + code_or_null(after.drain) +
         ",\"half_empty_days\":" + number_or_null(days) + "}";
}

}  // namespace

std::string fit_row_json(const FitRow& row) {
  return "{\"of\":" + json_string(word(row.of)) + ",\"outcome\":" + json_string(word(row.outcome)) + "}";
}

Result<FittingRequest> parse_fitting(std::string_view json, Utc today) {
  std::vector<Error> errors;
  boost::json::error_code failed;
  const boost::json::value parsed =
      boost::json::parse(boost::json::string_view(json.data(), json.size()), failed);
  if (failed || !parsed.is_object())
    return fail(Errc::bad_input, "this is no JSON object", "body", "start with {\"battery\": {...}}");
  FittingRequest request;
  FittingQuestion& question = request.question;
  JsonObject root(parsed.get_object(), "", errors);
  if (root.has("ticket"))
    request.ticket = root.need_text("ticket", ticket_bytes_max, "its number as it is shown, T-000001-9");
  if (root.has("battery") == root.has("ticket"))
    root.error("battery", "it must be said for which battery, once", "give either battery or ticket");
  if (auto label = root.object("battery")) read_battery(*label, question.battery, today, errors);
  read_posts(root, question.battery);
  if (auto vehicle = root.object("vehicle")) read_vehicle(*vehicle, question.vehicle, errors);
  if (auto reading = root.object("reading")) question.reading = read_reading(*reading);
  if (const auto amps = root.number_within("charger_a", 0.1, 200.0)) question.charger = Ampere(*amps);
  if (auto after = root.object("after")) request.after = read_after(*after);
  root.finish();
  if (errors.empty()) return request;
  return fail(Errc::bad_input, joined_lines(errors), "fitting");
}

std::string fitting_json(const FittingAnswer& answer, const AfterAnswer& after, const FittingRules& rules) {
  return "{\"fit\":" + json_array(answer.fit, fit_row_json) +
         ",\"age\":{\"made\":" + (answer.made.empty() ? "null" : json_string(answer.made)) +
         ",\"months\":" + (answer.months ? std::to_string(*answer.months) : "null") +
         ",\"oldest_months\":" + std::to_string(rules.oldest_months) +
         ",\"is_old\":" + (answer.is_old ? "true" : "false") + "},\"charge\":" + charge_json(answer, rules) +
         ",\"verdict\":" + json_string(word(answer.verdict)) + ",\"after\":" + after_json(after) + "}";
}

}  // namespace leadwright
