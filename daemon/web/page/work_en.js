// SPDX-License-Identifier: Apache-2.0
// English: charts, the queue.
export const words = {
  age: "Here for",
  chart_at: "At {time}: {volts} V, {amps} A",
  chart_drag: "Or drag across the chart; a double click shows the whole run again.",
  chart_forecast:
      "Its end is expected after {likely}, between {from} and {to} in {share} of 100 runs; a forecast, " +
      "not measured.",
  days: "{d} d {h} h",
  every_open_state: "every open one",
  forecast_end: "end expected",
  search_hint: "ticket, size, date",
  sort_by: "Sort by",
  sort_by_one: "Sort by: {column}",
  sort_other_way: "{column}: sort the other way",
  zoom_earlier: "Earlier",
  zoom_in: "Closer",
  zoom_later: "Later",
  zoom_of: "Part of the chart of {name}",
  zoom_out: "Wider",
  zoom_whole: "Whole run",
  zoomed: "From {from} to {to}",
};
