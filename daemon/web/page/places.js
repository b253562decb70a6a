// SPDX-License-Identifier: Apache-2.0
// One card a place. Cards are made once and rewritten, so that focus and open parts stay as they are.
import {change, place_path, say, with_name} from "/api.js";
import {make_chart} from "/chart.js";
import {open_dialog} from "/dialog.js";
import {amount, duration, element, field, kind_word, options, plain} from "/dom.js";
import {set_hidden, set_list, set_text} from "/dom.js";
import {open_instruments, troubled} from "/instruments.js";

// Less than this at an empty place is the meter's own noise.
const clamped_from_v = 0.5;
const cards = new Map();

async function send(place, verb, body, done) {
  await change(place_path(place, verb), body);
  say(done);
}

function open_start(place, cautions, next) {
  const consent = next?.consent;
  const name =
      element("input", {name: "consented_by", required: true, maxlength: "200", autocomplete: "off"});
  open_dialog({
    title: `Before energy flows at ${place.name}`,
    content: [
      element(
          "p", {},
          `${place.ticket ?? "This battery"}${place.battery ? `, ${place.battery}` : ""}. ` +
              "Is it clamped, plus to plus, and is the air moving?"),
      element("ul", {class: "cautions"}, ...(cautions ?? []).map((text) => element("li", {}, text))),
      ...(consent ? [
        element("p", {}, `The ${next.procedure} needs the owner's consent: ${consent}.`),
        field("Who agreed", name, "the name of the owner, or of who speaks for the owner")
      ] : []),
    ],
    buttons: [{label: "Read and understood: start", value: "start", strong: true}],
    act: async () => {
      await change(place_path(place.name, "acknowledge"), {of: "cautions"});
      const body = consent ? {procedure: next.procedure, consented_by: name.value.trim()} : {};
      await send(place.name, "start", body, `${place.name} starts.`);
    },
  });
}

function open_stop(place) {
  const reason = element("input", {name: "reason", required: true, maxlength: "200", autocomplete: "off"});
  open_dialog({
    title: `Stop ${place.name}`,
    content: [
      element("p", {}, "Everything at this place goes off. The run is kept as stopped."),
      field("Reason", reason)
    ],
    buttons: [{label: "Stop this place", value: "stop", strong: true}],
    cancel: "Let it run",
    act: () => send(place.name, "stop", {why: reason.value.trim()}, `${place.name} is stopped.`),
  });
}

function open_question(place) {
  const {of, text} = place.ask;
  const content = String(text ?? "").split("\n").filter(Boolean).map((line) => element("p", {}, line));
  const acknowledge = (body) => send(place.name, "acknowledge", {of, ...body}, `${place.name}: noted.`);
  if (of === "same_battery") {
    open_dialog({
      title: `${place.name}: is this the same battery?`,
      content,
      buttons: [{label: "Yes, the same", value: "yes", strong: true}, {label: "No, another", value: "no"}],
      act: (answer) => acknowledge({answer}),
    });
  } else if (of === "cells") {
    const cells = element(
        "select", {name: "cells", required: true},
        ...options([["", "choose"], ["6", "6 cells (12 V)"], ["3", "3 cells (6 V)"]]));
    open_dialog({
      title: `${place.name}: count the cells`,
      content: [...content, field("Cells", cells, "count the filler caps or the welds on the lid")],
      buttons: [{label: "This many", value: "cells", strong: true}],
      act: () => acknowledge({cells: Number(cells.value)}),
    });
  } else if (of === "question") {
    const answer = element("input", {name: "answer", required: true, autocomplete: "off", maxlength: "200"});
    open_dialog({
      title: `${place.name} asks`,
      content: [...content, field("Answer", answer)],
      buttons: [{label: "Answer", value: "answer", strong: true}],
      act: () => acknowledge({answer: answer.value.trim()}),
    });
  } else {
    const titles = {
      trip: "has tripped",
      presence: "is attended only",
      cautions: "asks to read the cautions",
      polarity: "asks to look at the posts",
      clamps: "asks to reseat the clamps",
      shield: "asks for the shield"
    };
    const labels = {
      trip: "I have seen to it",
      presence: "I am there",
      cautions: "Read and understood",
      polarity: "Red is on plus",
      clamps: "Posts cleaned, clamps reseated",
      shield: "The shield is closed"
    };
    open_dialog({
      title: `${place.name} ${titles[of]}`,
      content,
      buttons: [{label: labels[of], value: "yes", strong: true}],
      act: () => acknowledge({}),
    });
  }
}

const ask_labels = {
  cautions: "Read the cautions",
  same_battery: "Answer",
  cells: "Count the cells",
  polarity: "Look at the posts",
  clamps: "Reseat the clamps",
  shield: "Close the shield",
  trip: "Acknowledge",
  presence: "Say that you are there",
  question: "Answer"
};

function make_reading(name) {
  const value = element("span", {class: "value"});
  return {
    node: element("div", {class: "reading"}, element("span", {class: "reading_name"}, name), value),
    value
  };
}

function make_card(place) {
  const id = `place_${place.name}`;
  const card = {place, cautions: [], next: null};
  const part = (tag, name) => (card[name] = element(tag, {class: name}));
  card.volts = make_reading("Volts");
  card.amps = make_reading("Amps");
  card.degrees = make_reading("Case");
  card.progress = element("progress", {max: "1", "aria-label": `Progress at ${place.name}`});
  card.start = element(
      "button", {
        type: "button",
        class: "strong",
        onclick: () => with_name(() => open_start(card.place, card.cautions, card.next))
      },
      "Start");
  card.stop =
      element("button", {type: "button", onclick: () => with_name(() => open_stop(card.place))}, "Stop");
  card.answer = element(
      "button", {type: "button", class: "strong", onclick: () => with_name(() => open_question(card.place))});
  card.instruments =
      element("button", {type: "button", onclick: () => open_instruments(card.place.name)}, "Instruments");
  card.chart = make_chart(place.name);
  card.readings = element("div", {class: "readings"}, card.volts.node, card.amps.node, card.degrees.node);
  card.course = element("div", {class: "course"}, card.progress, part("p", "left"));
  card.buttons = element("div", {class: "buttons"}, card.answer, card.start, card.stop, card.instruments);
  const facts = element(
      "div", {class: "facts"},
      element(
          "header", {}, element("h3", {id: `${id}_name`}, place.name),
          element("span", {class: "kind"}, kind_word(place.kind)), part("span", "activity")),
      part("p", "ticket"), part("ul", "standing"), part("p", "doing"), part("p", "needs"), card.readings,
      card.course, part("ul", "notices"), card.buttons);
  card.node = element(
      "article", {id, class: `card ${place.kind}`, tabindex: "-1", "aria-labelledby": `${id}_name`}, facts,
      card.chart.node);
  for (const one of [card.start, card.stop, card.instruments])
    one.setAttribute("aria-label", `${one.textContent} ${place.name}`);
  return card;
}

function show_amps(value) {
  if (typeof value !== "number") return "– A";
  const way = Math.abs(value) < 0.005 ? "" : value > 0 ? " out" : " in";
  return `${Math.abs(value).toFixed(2)} A${way}`;
}

function left_text(place) {
  const parts = [];
  if (typeof place.left_s === "number") parts.push(`${duration(place.left_s)} left`);
  if (typeof place.elapsed_s === "number") parts.push(`${duration(place.elapsed_s)} gone`);
  if (typeof place.progress === "number") parts.push(`${Math.round(place.progress * 100)} %`);
  return parts.join(" · ");
}

// What every place with instruments says is said once, above them.
export function shared_notices(bench) {
  const places = bench.places.filter((place) => place.kind !== "shelf");
  if (places.length < 2) return [];
  return (places[0].notices ?? []).filter((text) => places.every((place) => place.notices?.includes(text)));
}

function notices(place, shared) {
  return [...(place.notices ?? []).filter((text) => !shared.includes(text)), ...troubled(place)];
}

function show_numbers(card, place) {
  const is_clamped = Boolean(place.ticket) || Math.abs(place.volts_v ?? 0) > clamped_from_v;
  const has_numbers =
      is_clamped && [place.volts_v, place.amps_a, place.case_degc].some((value) => typeof value === "number");
  set_hidden(card.readings, !has_numbers);
  set_text(card.volts.value, amount(place.volts_v, 2, "V"));
  set_text(card.amps.value, show_amps(place.amps_a));
  set_text(card.degrees.value, amount(place.case_degc, 1, "°C"));
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
  card.cautions = bench.cautions;
  card.next = (bench.queue ?? []).find((one) => place.ticket && one.ticket === place.ticket)?.next;
  const is_shelf = place.kind === "shelf";
  card.node.dataset.activity = place.activity ?? "";
  set_text(card.activity, is_shelf ? "" : plain(place.activity));
  const battery = [place.ticket, place.battery].filter(Boolean).join(" · ");
  set_text(card.ticket, battery || (is_shelf ? "" : "empty"));
  set_hidden(card.ticket, is_shelf);
  set_list(card.standing, is_shelf ? place.tickets ?? [] : []);
  set_hidden(card.standing, !is_shelf || !place.tickets?.length);
  set_text(card.doing, place.doing ?? (is_shelf && !place.tickets?.length ? "Nothing stands here." : ""));
  set_hidden(card.doing, card.doing.textContent === "");
  set_text(card.needs, place.needs ? `Needs you: ${place.needs}` : "");
  set_hidden(card.needs, !place.needs);
  show_numbers(card, place);
  set_list(card.notices, notices(place, shared));
  set_hidden(card.notices, card.notices.children.length === 0);
  set_hidden(card.answer, !place.ask);
  if (place.ask) set_text(card.answer, ask_labels[place.ask.of] ?? "Answer");
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
