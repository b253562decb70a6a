// SPDX-License-Identifier: Apache-2.0
// The instruments: in a sentence on the card of their place, and with all figures in the dialog.
import {moment, number, whole} from "/amounts.js";
import {read, say_error} from "/api.js";
import {open_dialog} from "/dialog.js";
import {element, facts, said, section} from "/dom.js";
import {t, word_of} from "/words.js";

const says = (one) => t("state_since", {state: word_of("link", one.state), moment: moment(one.since)});

// Our words and the bench's for each instrument that is not ready. What the place says already is not said
// again.
export function troubled(place) {
  return (place.instruments ?? []).filter((one) => one.state !== "ready").map((one) => {
    const why = one.trouble && !place.needs?.includes(one.trouble) ? one.trouble : "";
    const ours = t("instrument_is", {role: word_of("role", one.role), name: one.name, says: says(one)});
    return [why ? `${ours}:` : ours, why];
  });
}

function span(seconds) {
  if (seconds >= 1) return `${number(seconds, 2)} s`;
  const shown = Number((seconds * 1000).toPrecision(3));
  return `${number(shown, String(shown).split(".")[1]?.length ?? 0)} ms`;
}

function share(replies, name, who) {
  const [about, from, to] = ["", "_from", "_to"].map((end) => span(replies[`${name}${end}_s`]));
  return t("answers_within", {who, about, from, to});
}

function replies_text(replies) {
  if (!replies.count) return t("none_yet");
  return [
    share(replies, "p50", t("half")), share(replies, "p99", t("of_100")),
    t("longest", {time: span(replies.worst_s)})
  ].join(", ");
}

function counters_text(counters) {
  return t("counters", {
    asked: whole(counters.exchanges),
    again: whole(counters.retries),
    late: whole(counters.time_outs),
    garbled: whole(counters.garbles)
  });
}

function identity_text(identity) {
  if (!identity) return t("not_answered_yet");
  return t("identity", identity);
}

function trouble_text(trouble) {
  if (!trouble) return t("none");
  return element("span", {}, `${moment(trouble.at)}: `, said(trouble.what));
}

function instrument_part(one) {
  return section(
      one.name, facts([
        [t("now"), says(one)],
        [t("last_trouble"), trouble_text(one.trouble)],
        [t("instrument"), identity_text(one.identity)],
        [t("profile"), one.profile],
        [t("link"), one.link],
        [t("opened_again"), whole(one.counters.reopenings)],
        [t("questions"), counters_text(one.counters)],
        [t("answers"), replies_text(one.replies)],
        [
          t("off_goes_out"), one.off_within_s > 0 ? t("within", {time: span(one.off_within_s)}) : t("at_once")
        ],
        [t("byte_trace"), one.traced ? t("on") : t("off")],
      ]));
}

// Without a place, those of the whole bench: as they were when the dialog was opened.
export async function open_instruments(place = null) {
  let parts;
  try {
    const all = await read("/api/v1/instruments");
    parts = all.filter((one) => place === null || one.place === place).map(instrument_part);
  } catch (error) {
    return say_error(error, t("instruments"));
  }
  if (parts.length === 0) parts.push(element("p", {class: "quiet"}, t("no_instrument_here")));
  open_dialog({
    title: place === null ? t("instruments") : t("instruments_of", {place}),
    content: [element("div", {class: "ticket_page"}, ...parts)],
    buttons: [],
    wide: true,
    cancel: t("close")
  });
}
