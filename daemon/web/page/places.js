// SPDX-License-Identifier: Apache-2.0
// One card a place. Cards are made once and rewritten, so that focus and open parts stay as they are.
import {amount, degrees, duration, number} from "/amounts.js";
import {with_name, with_view} from "/api.js";
import {cautions_of} from "/cautions.js";
import {make_chart} from "/chart.js";
import {element, set_both, set_hidden, set_items, set_list, set_said, set_text} from "/dom.js";
import {open_instruments, troubled} from "/instruments.js";
import {open_question, open_resume, open_stop} from "/place_dialogs.js";
import {is_known, sentence} from "/said.js";
import {bench_language, has_word, label_words, t, word_of} from "/words.js";

// Less than this at an empty place is the meter's own noise.
const clamped_from_v = 0.5;
const cards = new Map();

function make_reading(name) {
  const value = element("span", {class: "value"});
  return {
    node: element("div", {class: "reading"}, element("span", {class: "reading_name"}, name), value),
    value
  };
}

const start = (card) =>
    with_view("/start.js", (view) => view.open_start(card.place, card.cautions, card.next));

function make_card(place) {
  const id = `place_${place.name}`;
  const card = {place, cautions: [], next: null};
  const part = (tag, name) => (card[name] = element(tag, {class: name}));
  card.volts = make_reading(t("volts"));
  card.amps = make_reading(t("amps"));
  card.degrees = make_reading(t("case"));
  card.progress = element("progress", {max: "1", "aria-label": t("progress_at", {place: place.name})});
  card.start = element(
      "button", {
        type: "button",
        class: "strong",
        onclick: () => with_name(() => start(card))
      },
      t("start"));
  card.stop =
      element("button", {type: "button", onclick: () => with_name(() => open_stop(card.place))}, t("stop"));
  card.answer = element(
      "button", {type: "button", class: "strong", onclick: () => with_name(() => open_question(card.place))});
  card.resume = element(
      "button", {
        type: "button",
        class: "strong",
        onclick: () => with_name(() => open_resume(card.place))
      },
      t("let_it_go_on"));
  card.instruments =
      element("button", {type: "button", onclick: () => open_instruments(card.place.name)}, t("instruments"));
  card.chart = make_chart(place.name);
  card.readings = element("div", {class: "readings"}, card.volts.node, card.amps.node, card.degrees.node);
  card.course = element("div", {class: "course"}, card.progress, part("p", "left"));
  card.buttons = element(
      "div", {class: "buttons"}, card.answer, card.resume, card.start, card.stop, card.instruments);
  const facts = element(
      "div", {class: "facts"},
      element(
          "header", {}, element("h3", {id: `${id}_name`}, place.name),
          element("span", {class: "kind"}, word_of("kind", place.kind)), part("span", "activity")),
      part("p", "ticket"), part("ul", "standing"), part("p", "doing"), part("p", "needs"),
      part("p", "suggestion"), card.readings, card.course, part("ul", "notices"), card.buttons);
  card.node = element(
      "article", {id, class: `card ${place.kind}`, tabindex: "-1", "aria-labelledby": `${id}_name`}, facts,
      card.chart.node);
  for (const one of [card.resume, card.start, card.stop, card.instruments])
    one.setAttribute("aria-label", `${one.textContent} ${place.name}`);
  return card;
}

function show_amps(value) {
  if (typeof value !== "number") return "– A";
  const size = `${number(Math.abs(value), 2)} A`;
  if (Math.abs(value) < 0.005) return size;
  return `${size} ${value > 0 ? t("amps_out") : t("amps_in")}`;
}

function left_text(place) {
  const parts = [];
  if (typeof place.left_s === "number") parts.push(t("left", {time: duration(place.left_s)}));
  if (typeof place.elapsed_s === "number") parts.push(t("gone", {time: duration(place.elapsed_s)}));
  if (typeof place.progress === "number") parts.push(`${Math.round(place.progress * 100)} %`);
  return parts.join(" · ");
}

// What every place with instruments says is said once, above them.
export function shared_notices(bench) {
  const places = bench.places.filter((place) => place.kind !== "shelf");
  if (places.length < 2) return [];
  const is_shared = ({text}) => places.every((place) => place.notices.some((one) => one.text === text));
  return places[0].notices.filter(is_shared);
}

export const notice_words = ({said, text}) => sentence(said, text);

function show_notices(card, place, shared) {
  const is_own = ({text}) => shared.every((one) => one.text !== text);
  const own = place.notices.filter(is_own).map((notice) => element("li", {}, notice_words(notice)));
  const lost = troubled(place).map((line) => {
    const item = element("li");
    set_said(item, ...line);
    return item;
  });
  set_items(card.notices, [...own, ...lost]);
  set_hidden(card.notices, own.length + lost.length === 0);
}

// What a procedure does is written in its file; all else follows from the activity.
function show_doing(card, place) {
  const is_empty_shelf = place.kind === "shelf" && !place.tickets?.length;
  if (place.activity === "running") {
    set_both(card.doing, `${word_of("procedure", place.procedure)}:`, place.doing ?? "");
  } else if (has_word("doing", place.activity)) {
    set_text(card.doing, word_of("doing", place.activity));
  } else {
    set_said(card.doing, place.doing || !is_empty_shelf ? "" : t("nothing_stands_here"), place.doing ?? "");
  }
}

function show_needs(card, place) {
  set_hidden(card.needs, !place.needs);
  if (place.needs && is_known(place.said)) {
    return set_items(
        card.needs, [element("span", {}, `${t("needs_you")} `), sentence(place.said, place.needs)]);
  }
  const of = place.ask?.of;
  const ours = bench_language && has_word("ask_text", of) ? ` ${word_of("ask_text", of)}` : "";
  set_said(card.needs, place.needs ? t("needs_you") + ours : "", place.needs ?? "");
}

// Which waiting battery should come here next; any other may.
function show_suggestion(card, place, bench) {
  const one = (bench.suggestions ?? []).find((each) => each.place === place.name);
  set_hidden(card.suggestion, !one);
  if (!one) return;
  const first = t("suggested", {ticket: one.ticket, procedure: word_of("procedure", one.procedure)});
  set_items(card.suggestion, [element("span", {}, `${first} `), sentence(one.said, one.why)]);
}

function show_numbers(card, place) {
  const is_clamped = Boolean(place.ticket) || Math.abs(place.volts_v ?? 0) > clamped_from_v;
  const has_numbers =
      is_clamped && [place.volts_v, place.amps_a, place.case_degc].some((value) => typeof value === "number");
  set_hidden(card.readings, !has_numbers);
  set_text(card.volts.value, amount(place.volts_v, 2, "V"));
  set_text(card.amps.value, show_amps(place.amps_a));
  set_text(card.degrees.value, degrees(place.case_degc));
  const is_running = place.activity === "running";
  set_hidden(card.course, !is_running);
  if (is_running) {
    if (typeof place.progress === "number")
      card.progress.value = place.progress;
    else
      card.progress.removeAttribute("value");
    set_text(card.left, left_text(place));
  }
  card.chart.show(place);
}

function show_card(card, place, bench, shared) {
  card.place = place;
  card.cautions = cautions_of(bench);
  card.next = (bench.queue ?? []).find((one) => place.ticket && one.ticket === place.ticket)?.next;
  const is_shelf = place.kind === "shelf";
  card.node.dataset.activity = place.activity ?? "";
  set_text(card.activity, is_shelf ? "" : word_of("activity", place.activity));
  const battery = [place.ticket, label_words(place.battery)].filter(Boolean).join(" · ");
  set_text(card.ticket, battery || (is_shelf ? "" : t("empty")));
  set_hidden(card.ticket, is_shelf);
  set_list(card.standing, is_shelf ? place.tickets ?? [] : []);
  set_hidden(card.standing, !is_shelf || !place.tickets?.length);
  show_doing(card, place);
  set_hidden(card.doing, card.doing.textContent === "");
  show_needs(card, place);
  show_suggestion(card, place, bench);
  show_numbers(card, place);
  show_notices(card, place, shared);
  set_hidden(card.answer, !place.ask);
  if (place.ask) set_text(card.answer, word_of("ask_button", place.ask.of));
  set_hidden(card.resume, !place.paused);
  set_hidden(card.start, place.activity !== "ready" || !place.ticket);
  set_hidden(card.stop, place.activity !== "running");
  set_hidden(card.instruments, troubled(place).length === 0);
  set_hidden(card.buttons, [...card.buttons.children].every((button) => button.hidden));
}

const groups = ["bay", "charging", "shelf"];

export function show_places(parent, bench) {
  const shared = shared_notices(bench);
  for (const [name, card] of cards) {
    if (bench.places.some((place) => place.name === name)) continue;
    card.node.remove();
    cards.delete(name);
  }
  for (const kind of groups) {
    const group = parent.querySelector(`[data-kind="${kind}"]`);
    bench.places.filter((place) => place.kind === kind).forEach((place, i) => {
      if (!cards.has(place.name)) cards.set(place.name, make_card(place));
      const card = cards.get(place.name);
      if (group.children[i] !== card.node) group.insertBefore(card.node, group.children[i] ?? null);
      show_card(card, place, bench, shared);
    });
  }
}
