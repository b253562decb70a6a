// SPDX-License-Identifier: Apache-2.0
// The instruments: in a sentence on the card of their place, and with all figures in the dialog.
import {read, say} from "/api.js";
import {open_dialog} from "/dialog.js";
import {element, facts, moment, plain, section} from "/dom.js";

const state_words = {
  closed: "not connected",
  opening: "being connected",
  identified: "known again and being made safe",
  ready: "ready",
  degraded: "not answering well",
  lost: "lost and looked for"
};
const says = (one) => `${state_words[one.state] ?? plain(one.state)}, since ${moment(one.since)}`;

// One sentence for each instrument that is not ready. What the place says already is not said again.
export function troubled(place) {
  return (place.instruments ?? []).filter((one) => one.state !== "ready").map((one) => {
    const why = one.trouble && !place.needs?.includes(one.trouble) ? `: ${one.trouble}` : "";
    return `The ${plain(one.role)} ${one.name} is ${says(one)}${why}`;
  });
}

function span(seconds) {
  if (seconds >= 1) return `${seconds.toFixed(2)} s`;
  return `${Number((seconds * 1000).toPrecision(3))} ms`;
}

function share(replies, name, words) {
  const [about, from, to] = ["", "_from", "_to"].map((end) => span(replies[`${name}${end}_s`]));
  return `${words} within about ${about} (between ${from} and ${to})`;
}

function replies_text(replies) {
  if (!replies.count) return "none yet";
  return [
    share(replies, "p50", "half"), share(replies, "p99", "99 of 100"), `the longest ${span(replies.worst_s)}`
  ].join(", ");
}

const count = (value) => value.toLocaleString("en");

function counters_text(counters) {
  return `${count(counters.exchanges)} asked, ${count(counters.retries)} asked again, ` +
      `${count(counters.time_outs)} without an answer in time, ${count(counters.garbles)} garbled`;
}

function identity_text(identity) {
  if (!identity) return "has not answered yet";
  return `${identity.maker}, ${identity.model}, serial ${identity.serial}, firmware ${identity.firmware}`;
}

function instrument_part(one) {
  return section(
      one.name, facts([
        ["Now", says(one)],
        ["Last trouble", one.trouble ? `${moment(one.trouble.at)}: ${one.trouble.what}` : "none"],
        ["Instrument", identity_text(one.identity)],
        ["Profile", one.profile],
        ["Link", one.link],
        ["Opened again", count(one.counters.reopenings)],
        ["Questions", counters_text(one.counters)],
        ["Answers", replies_text(one.replies)],
        ["Off goes out", one.off_within_s > 0 ? `within ${span(one.off_within_s)}` : "at once"],
        ["Byte trace", one.traced ? "on" : "off"],
      ]));
}

// Without a place, those of the whole bench: as they were when the dialog was opened.
export async function open_instruments(place = null) {
  let parts;
  try {
    const all = await read("/api/v1/instruments");
    parts = all.filter((one) => place === null || one.place === place).map(instrument_part);
  } catch (error) {
    return say(`Instruments: ${error.message}`);
  }
  if (parts.length === 0) parts.push(element("p", {class: "quiet"}, "No instrument here."));
  open_dialog({
    title: place === null ? "Instruments" : `Instruments of ${place}`,
    content: [element("div", {class: "ticket_page"}, ...parts)],
    buttons: [],
    wide: true,
    cancel: "Close"
  });
}
