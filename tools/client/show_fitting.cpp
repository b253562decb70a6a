// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>
#include <vector>

#include "tools/client/fitting_commands.h"
#include "tools/client/json_view.h"
#include "tools/client/table.h"

namespace leadwright {
namespace {

namespace json = boost::json;
using Words = std::pair<std::string_view, std::string_view>;

constexpr std::array<Words, 6> verdicts{{
    {"may_be_fitted", "May be fitted, as far as it was checked."},
    {"charge_first", "Needs a charge before fitting."},
    {"do_not_fit", "Do not fit it: it is not what the vehicle asks for."},
    {"test_first",
     "Do not fit it before a test: this voltage belongs to no sound lead battery with these cells."},
    {"rest_first", "Let it stand for 8 h with nothing on it, then read the voltage again."},
    {"measure_first", "Read its voltage at rest first."},
}};
constexpr std::array<Words, 6> outcomes{{
    {"fits", "fits"},
    {"differs", "differs"},
    {"less", "less than the vehicle asks for"},
    {"other_standard", "not comparable: not in one stated standard"},
    {"not_lead", "not a lead battery"},
    {"not_checked", "not checked"},
}};
constexpr std::array<Words, 2> monitors{{
    {"took_it", "The monitor reports a new battery: it took the change."},
    {"keeps_the_old",
     "The monitor still counts the old battery: tell it again by the vehicle maker's procedure."},
}};
constexpr std::array<Words, 3> runnings{{
    {"usual", "The voltage with the engine running is usual."},
    {"low", "The voltage with the engine running is low: the vehicle may empty the battery."},
    {"high", "The voltage with the engine running is high: the vehicle overcharges the battery."},
}};
constexpr std::array<Words, 2> drains{{
    {"usual", "The drain at rest is usual."},
    {"high", "The drain at rest is high: look for what stays awake before you blame a battery."},
}};
constexpr const char* closing =
    "Look at the rest yourself: outline and height, hold-down, vent and hose, length of the cables.\n"
    "A vehicle's battery monitor is told of the change by the vehicle maker's procedure. Take the negative "
    "post\noff first and put it on last. The makers' instructions, local codes and licensed practice come "
    "first.\n";

template <class Table>
std::string_view find(const Table& table, std::string_view code) {
  const auto found = std::ranges::find(table, code, &Words::first);
  return found == table.end() ? std::string_view() : found->second;
}

std::string charge_line(const json::value& charge) {
  const auto soc = number(member(charge, "soc_1"));
  const double least = number(member(charge, "soc_min_1")).value_or(0.0);
  const std::string fits_none = fmt::format(" This bench fits none below {:.0f} %.\n", 100.0 * least);
  if (!soc)
    return "How full it is is not known: that takes a voltage after at least 8 h at rest." + fits_none;
  const double u = number(member(charge, "u_1")).value_or(0.0);
  std::string line = fmt::format("It is {:.0f} +- {:.0f} % charged (k = 2).", 100.0 * *soc, 200.0 * u);
  if (const auto needed = number(member(charge, "needed_ah"))) {
    const double needed_u = number(member(charge, "needed_u_ah")).value_or(0.0);
    line += fmt::format(" To full it lacks {:.1f} +- {:.1f} Ah", *needed, 2.0 * needed_u);
    if (const auto minutes = number(member(charge, "minutes")))
      line += fmt::format(", about {:.0f} min at your charger's amps", *minutes);
    line += ".";
  }
  return line + fits_none;
}

std::string age_line(const json::value& age) {
  const auto months = number(member(age, "months"));
  if (!months) return "Its age is not known: no date was given.\n";
  std::string line = fmt::format("Made in {}: {:.0f} months old.", words(member(age, "made")), *months);
  if (words(member(age, "is_old")) == "true")
    line += " This bench calls nothing new after " + words(member(age, "oldest_months")) + " months.";
  return line + "\n";
}

std::string after_lines(const json::value& after) {
  std::string text;
  const auto add = [&text](std::string_view line) {
    if (!line.empty()) text.append(line).append("\n");
  };
  add(find(monitors, words(member(after, "monitor"))));
  if (const auto apart = number(member(after, "soc_apart_1"))) {
    add(fmt::format("The monitor and this reading are {:.0f} points apart; a monitor learns for some days.",
                    100.0 * std::abs(*apart)));
  }
  add(find(runnings, words(member(after, "running"))));
  add(find(drains, words(member(after, "drain"))));
  if (const auto days = number(member(after, "half_empty_days")))
    add(fmt::format("So much drain empties half of a full battery in {:.1f} days.", *days));
  return text.empty() ? text : "\nAFTER FITTING\n" + text;
}

}  // namespace

std::string show_fitting(const std::string& body) {
  const auto told = parse_json(body);
  if (!told || find(verdicts, words(member(*told, "verdict"))).empty()) return body + "\n";
  std::vector<std::vector<std::string>> rows{{"OF", "LABEL AGAINST VEHICLE"}};
  for (const auto& row : items(member(*told, "fit"))) {
    std::string of = words(member(row, "of"));
    std::ranges::replace(of, '_', ' ');
    rows.push_back({of, std::string(find(outcomes, words(member(row, "outcome"))))});
  }
  std::string text(find(verdicts, words(member(*told, "verdict"))));
  text.append("\n").append(charge_line(member(*told, "charge"))).append(age_line(member(*told, "age")));
  return text.append("\n")
      .append(table(rows))
      .append(after_lines(member(*told, "after")))
      .append("\n")
      .append(closing);
}

}  // namespace leadwright
