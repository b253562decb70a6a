// SPDX-License-Identifier: Apache-2.0
// What a person chooses above the queue: a text, a state, the column to sort by; and the closed tickets,
// which the bench tells only when asked.
import {read, say_error} from "/api.js";
import {element, options, set_text} from "/dom.js";
import {chosen, sort_keys, states} from "/queue_order.js";
import {t, word_of} from "/words.js";

const page_length = 500;
const pages_max = 20;
const names = Object.fromEntries(sort_keys.map((key) => [key, t(key)]));
let closed = [];
let changed = () => {};
const sorters = new Map();
const sort_choice = element("select", {id: "queue_sort"});

export const closed_rows = () => closed;

async function read_closed() {
  const rows = [];
  let cursor = "";
  for (let page = 0; page < pages_max; ++page) {
    const found = await read(`/api/v1/tickets?state=closed&limit=${page_length}${cursor}`);
    rows.push(...found);
    if (found.length < page_length) break;
    cursor = `&cursor=${encodeURIComponent(found.at(-1).ticket)}`;
  }
  const as_queued = (ticket) => ({
    ...ticket,
    grade: ticket.letter,
    reason: word_of("closing", ticket.closing),
    is_closed: true
  });
  return rows.map(as_queued);
}

async function choose_state(state) {
  chosen.state = state;
  if (state !== "closed") {
    closed = [];
    return changed();
  }
  try {
    closed = await read_closed();
  } catch (error) {
    say_error(error, word_of("state", "closed"));
  }
  changed();
}

function show_order() {
  for (const [key, {head, button}] of sorters) {
    const is_sorted = key === chosen.key;
    if (is_sorted)
      head.setAttribute("aria-sort", chosen.is_down ? "descending" : "ascending");
    else
      head.removeAttribute("aria-sort");
    set_text(button, is_sorted ? (chosen.is_down ? "▼" : "▲") : "↕");
    const column = names[key];
    button.setAttribute(
        "aria-label", is_sorted ? t("sort_other_way", {column}) : t("sort_by_one", {column}));
  }
  sort_choice.value = `${chosen.key} ${chosen.is_down ? "down" : "up"}`;
}

function sort_by(key, is_down) {
  Object.assign(chosen, {key, is_down});
  show_order();
  changed();
}

// A head with its button, if there is something to sort by.
export function make_head(key, text) {
  const head = element("th", {role: "columnheader", scope: "col"}, text);
  if (!sort_keys.includes(key)) return head;
  const turn = () => sort_by(key, key === chosen.key && !chosen.is_down);
  const button = element("button", {type: "button", class: "sorter", onclick: turn});
  head.append(" ", button);
  sorters.set(key, {head, button});
  return head;
}

// `then` is called after each change.
export function make_controls(parent, then) {
  changed = then;
  const search = element("input", {id: "filter", type: "search", spellcheck: "false"});
  search.placeholder = t("search_hint");
  search.addEventListener("input", () => {
    chosen.text = search.value;
    changed();
  });
  const every = [["", t("every_open_state")], ...states.map((one) => [one, word_of("state", one)])];
  const state = element("select", {id: "queue_state"}, ...options(every));
  state.addEventListener("change", () => choose_state(state.value));
  sort_choice.append(...options(sort_keys.flatMap(
      (key) => ["up", "down"].map((way) => [`${key} ${way}`, `${names[key]} ${way === "up" ? "▲" : "▼"}`]))));
  sort_choice.addEventListener("change", () => {
    const [key, way] = sort_choice.value.split(" ");
    sort_by(key, way === "down");
  });
  parent.append(
      element("label", {class: "filter"}, `${t("state")} `, state),
      element("label", {class: "sort_choice"}, `${t("sort_by")} `, sort_choice),
      element("label", {class: "filter"}, `${t("filter")} `, search));
  show_order();
}
