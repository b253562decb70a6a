// SPDX-License-Identifier: Apache-2.0
// The numbers under a chart: which points are shown, how far the axes reach, where their marks stand.

// A point is [seconds, volts, amps]; a missing reading is null.
export const present = (points, column) =>
    points.map((point) => point[column]).filter((value) => typeof value === "number");

// With some air, so that a line doesn't lie on the frame; zero stays zero.
export function range_of(values, least_span) {
  let low = Infinity;
  let high = -Infinity;
  for (const value of values) {
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  if (!(low <= high)) return {low: 0, high: least_span};
  if (high - low < least_span) {
    const middle = (low + high) / 2;
    low = middle - least_span / 2;
    high = middle + least_span / 2;
  }
  const air = (high - low) * 0.08;
  return {low: low === 0 ? 0 : low - air, high: high === 0 ? 0 : high + air};
}

const marks_between = (low, high, step) => {
  const first = Math.ceil(low / step - 1e-9);
  const last = Math.floor(high / step + 1e-9);
  return Array.from({length: Math.max(0, last - first + 1)}, (_, i) => (first + i) * step);
};

// About `wanted` round numbers, and the decimals that tell them apart.
export function marks({low, high}, wanted) {
  const rough = (high - low) / wanted;
  const ten = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((one) => one * ten).find((one) => one >= rough);
  return {at: marks_between(low, high, step), digits: Math.max(0, -Math.floor(Math.log10(step) + 1e-9))};
}

const minute = 60;
const hour = 3600;
const time_steps = [
  1, 2, 5, 10, 15, 30, minute, 2 * minute, 5 * minute, 10 * minute, 15 * minute, 30 * minute, hour, 2 * hour,
  4 * hour, 6 * hour, 12 * hour, 24 * hour
];

// At most `most` round times, and the unit in which they differ: in seconds.
export function time_marks(from, to, most) {
  const step = time_steps.find((one) => (to - from) / one <= most) ?? (to - from) / most;
  return {at: marks_between(from, to, step), unit: [hour, minute, 1].find((one) => step >= one) ?? 1};
}

// The points from `from` to `to`, with the neighbour on each side, so that lines reach the frame.
export function within(points, from, to) {
  let first = points.findIndex((point) => point[0] >= from);
  if (first < 0) first = points.length;
  let end = points.findIndex((point) => point[0] > to);
  if (end < 0) end = points.length;
  return points.slice(Math.max(0, first - 1), Math.min(points.length, end + 1));
}

// At most about `most` points: of each stretch its first and its lowest and highest volts, so that a pulse of
// a second is still seen in a run of hours.
export function thinned(points, most) {
  if (points.length <= most) return points;
  const stretch = Math.ceil(points.length * 3 / most);
  const kept = [];
  for (let start = 0; start < points.length; start += stretch) {
    const end = Math.min(start + stretch, points.length);
    let low = start;
    let high = start;
    for (let i = start; i < end; ++i) {
      const volts = points[i][1];
      if (typeof volts !== "number") continue;
      if (!(points[low][1] <= volts)) low = i;
      if (!(points[high][1] >= volts)) high = i;
    }
    const chosen = [...new Set([start, low, high])].sort((one, other) => one - other);
    kept.push(...chosen.map((i) => points[i]));
  }
  if (kept.at(-1) !== points.at(-1)) kept.push(points.at(-1));
  return kept;
}
