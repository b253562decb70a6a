// SPDX-License-Identifier: Apache-2.0
// What becomes of one core of many, by its voltage and a look. Pure.

// Per cell, as the bench's own intake check has them: no cell of an empty battery rests so low (1.75 V), and
// no lead cell at rest above 2.23 V (from memory).
export const flat_cell_v = 1.75;
const lead_cell_max_v = 2.23;
const unsafe = ["cracked", "leaking", "swollen", "frozen"];

// "ticket", or why it is set aside: "unsafe", "not_lead", "too_low", "twice".
export function outcome_of(row, {least_v, cells}, rows) {
  if (unsafe.includes(row.seen)) return "unsafe";
  if (rows.some((other) => other !== row && other.serial === row.serial && other.number < row.number))
    return "twice";
  if (row.volts > lead_cell_max_v * cells) return "not_lead";
  return row.volts < least_v ? "too_low" : "ticket";
}
