// SPDX-License-Identifier: Apache-2.0
// Which tickets the queue shows, and in which order: text and state searched for, one column to sort by.
import {moment} from "/amounts.js";
import {label_words, word_of} from "/words.js";

// As a battery goes through the house. Closed tickets are not in the snapshot and are read when asked for.
export const states = [
  "received", "waiting", "charging", "resting", "testing", "graded", "recharging", "held", "refused", "closed"
];

const sort_values = {
  ticket: (row) => row.ticket,
  battery: (row) => label_words(row.label ?? row.battery),
  state: (row) => states.indexOf(row.state),
  place: (row) => row.place,
  reserve_capacity: (row) => row.reserve_capacity_min,
  grade: (row) => row.grade,
  // The longer it is here, the earlier it came.
  age: (row) => row.received_at,
  promised: (row) => row.promised_at,
};
export const sort_keys = Object.keys(sort_values);

export const chosen = {text: "", state: "", key: "ticket", is_down: false};

const is_missing = (value) => value === null || value === undefined || value === "";

// Missing values stay at the end, whichever way it is sorted.
function compare(one, other) {
  const value = sort_values[chosen.key];
  const [a, b] = [value(one), value(other)];
  if (is_missing(a) || is_missing(b)) return Number(is_missing(a)) - Number(is_missing(b));
  const order = typeof a === "number" ? a - b : a.localeCompare(b, undefined, {numeric: true});
  return (chosen.is_down ? -order : order) || one.ticket.localeCompare(other.ticket);
}

// All that a row says, and its dates both as they are shown and as the bench writes them.
function text_of(row, more) {
  const dates = [row.received_at, row.promised_at].filter(Boolean);
  const all = [
    row.ticket, row.battery, label_words(row.label), word_of("state", row.state), row.place, row.grade,
    row.reason, ...dates, ...dates.map(moment), ...more
  ];
  return all.filter(Boolean).join(" ").toLowerCase();
}

// Each word that was typed must be there. `more_of` gives what else a row says.
export function wanted_of(rows, more_of) {
  const words = chosen.text.toLowerCase().split(/\s+/u).filter(Boolean);
  const is_wanted = (row) => {
    if (chosen.state && row.state !== chosen.state) return false;
    if (words.length === 0) return true;
    const text = text_of(row, more_of(row));
    return words.every((word) => text.includes(word));
  };
  return rows.filter(is_wanted).sort(compare);
}
