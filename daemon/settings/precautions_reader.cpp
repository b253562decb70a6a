// SPDX-License-Identifier: Apache-2.0
#include "daemon/settings/precautions_reader.h"

#include <filesystem>

namespace leadwright {

namespace {
constexpr double airflow_highest = 1e5;
constexpr Second gas_off_max = hours(24.0);
constexpr double repeat_lowest_s = 10.0;
constexpr double repeat_highest_s = 86'400.0;
constexpr std::int64_t calls_max = 100;
constexpr double kg_per_ah_highest = 0.25;
constexpr double kg_highest = 100.0;

void read_command(const TomlTable& alarm, const char* key, std::vector<std::string>& into) {
  if (!alarm.has(key)) return;
  into = alarm.strings(key);
  if (into.empty()) return;
  std::error_code failed;
  if (!into.front().starts_with('/') || !std::filesystem::is_regular_file(into.front(), failed)) {
    alarm.error(key, "\"" + into.front() + "\" is no program by its whole path",
                "name one that exists, like \"/usr/local/bin/call-somebody\"");
    return;
  }
  using std::filesystem::perms;
  const perms may = std::filesystem::status(into.front(), failed).permissions();
  if ((may & (perms::owner_exec | perms::group_exec | perms::others_exec)) == perms::none) {
    alarm.error(key, "\"" + into.front() + "\" can't be executed", "chmod +x it");
  }
}
void read_size(const TomlTable& sizes, const std::string& size, WeightLimits& into) {
  const double kg = sizes.number(size).value_or(1.0);
  if (!(kg > 0.0) || kg > kg_highest) {
    sizes.error(size, "outside what makes sense", "above 0, at most 100");
  }
  std::erase_if(into.least_by_size, [&size](const auto& each) { return each.first == size; });
  into.least_by_size.emplace_back(size, kg);
}
}  // namespace

void read_weight(const TomlTable& weight, WeightLimits& into) {
  if (const auto per_ah = weight.number("least_kg_per_ah")) {
    into.least_kg_per_ah = *per_ah;
    if (!(*per_ah >= 0.0) || *per_ah > kg_per_ah_highest) {
      weight.error("least_kg_per_ah", "outside what makes sense", "0 to 0.25; 0 compares nothing");
    }
  }
  const auto sizes = weight.table("least_kg");
  if (!sizes) return;
  for (const std::string& size : sizes->keys()) read_size(*sizes, size, into);
}

void read_alarm(const TomlTable& alarm, AlarmSettings& into) {
  read_command(alarm, "command", into.command);
  read_command(alarm, "second_command", into.second_command);
  if (into.command.empty() && !into.second_command.empty()) {
    alarm.error("second_command", "nobody is called first", "add command = [\"/path/of/a/program\"]");
  }
  if (const auto repeat = alarm.number("repeat_s")) {
    into.repeat = Second(*repeat);
    if (!(*repeat >= repeat_lowest_s && *repeat <= repeat_highest_s)) {
      alarm.error("repeat_s", "outside what makes sense", "10 to 86400");
    }
  }
  if (const auto calls = alarm.integer("escalate_after")) {
    into.escalate_after = static_cast<int>(*calls);
    if (*calls < 1 || *calls > calls_max)
      alarm.error("escalate_after", "outside what makes sense", "1 to 100");
  }
}

void read_precautions(const TomlTable& bench, Precautions& into) {
  if (const auto gas_off = bench.number("gas_off_s")) {
    into.gas_off = Second(*gas_off);
    if (!(*gas_off >= 0.0) || into.gas_off > gas_off_max) {
      bench.error("gas_off_s", "outside what makes sense", "0 to 86400; 3600 is common practice");
    }
  }
  if (const auto airflow = bench.number("airflow_m3_per_h")) {
    into.airflow = Airflow{*airflow};
    if (!(*airflow > 0.0) || *airflow > airflow_highest) {
      bench.error("airflow_m3_per_h", "outside what makes sense", "above 0, at most 100000");
    }
  }
}

}  // namespace leadwright
