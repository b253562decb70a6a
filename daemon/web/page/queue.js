// SPDX-License-Identifier: Apache-2.0
// The queue as a table; rows are kept and rewritten, so that focus stays where it is.
import {age, moment, number, short_moment} from "/amounts.js";
import {with_view} from "/api.js";
import {element, set_both, set_hidden, set_items, set_said, set_text} from "/dom.js";
import {closed_rows, make_controls, make_head} from "/queue_controls.js";
import {wanted_of} from "/queue_order.js";
import {is_known, sentence} from "/said.js";
import {bench_language, count_of, has_word, label_words, t, word_of} from "/words.js";

const columns = {
  ticket: t("ticket"),
  battery: t("battery"),
  state: t("state"),
  place: t("place"),
  reserve_capacity: t("reserve_capacity"),
  grade: t("grade"),
  why: t("why_and_next"),
  age: t("age"),
  promised: t("promised"),
  move: t("move"),
};
// Why it is in one of these, state and place say.
const at_work = ["charging", "resting", "testing", "recharging"];
const told_by_state = ["received", ...at_work];
const rows = new Map();
const no_grade = "–";

function reserve_capacity(row) {
  const rated = typeof row.rated_min === "number" ? number(row.rated_min, 0) : null;
  if (typeof row.reserve_capacity_min !== "number") return rated ? t("rated_minutes", {rated}) : "";
  let minutes = number(row.reserve_capacity_min, 1);
  if (typeof row.reserve_capacity_u_min === "number")
    minutes += ` ± ${number(2 * row.reserve_capacity_u_min, 1)}`;
  return rated ? t("minutes_of", {minutes, rated}) : t("minutes", {min: minutes});
}

function next_step(row) {
  const {next} = row;
  const is_under_way = at_work.includes(row.state) && !row.needs_of;
  if (!next || is_under_way) return "";
  return t(
      "next_step",
      {procedure: word_of("procedure", next.procedure), place: word_of("at_kind", next.place_kind)});
}

// Null where the bench needs something that has no code.
function needs_words(row) {
  const {next, needs_of} = row;
  if (!next || !has_word("needs", needs_of)) return null;
  return word_of("needs", needs_of, {
    procedure: word_of("procedure", next.procedure),
    kind: word_of("to_kind", next.place_kind),
    place: row.place,
    consent: next.consent,
    until: next.not_before ? moment(next.not_before) : ""
  });
}

// The letter that stands, and the bench's own where it is another one.
function grade_words(row) {
  if (!row.own_grade) return row.grade ?? no_grade;
  return t("grade_of_two", {letter: row.grade, own: row.own_grade});
}

function show_needs(view, row) {
  const waits = row.proposed_grade ? t("override_waits", {letter: row.proposed_grade}) : null;
  const ours = [waits, needs_words(row)].filter(Boolean).join(" ");
  if (ours)
    set_text(view.needs, `${t("needs_you")} ${ours}`);
  else
    set_said(view.needs, row.needs ? t("needs_you") : "", row.needs ?? "");
}

// `show_again` draws the queue of the last snapshot anew.
export function make_queue(show_again) {
  const title = (key) => key === "reserve_capacity" ? t("reserve_capacity_k2") : columns[key];
  document.getElementById("queue_heads")
      .append(...Object.keys(columns).map((key) => make_head(key, title(key))));
  make_controls(document.getElementById("queue_controls"), show_again);
}

const show_ticket = (ticket) => with_view("/ticket.js", (view) => view.open_ticket(ticket));

function make_row(ticket, take_ticket) {
  const line = element("tr", {role: "row"});
  const cells = {};
  for (const [key, name] of Object.entries(columns)) {
    const of_head = {role: "rowheader", scope: "row", "data-label": name};
    cells[key] = key === "ticket" ? element("th", of_head) :
                                    element("td", {class: key, role: "cell", "data-label": name});
    line.append(cells[key]);
  }
  cells.ticket.append(element(
      "button",
      {type: "button", class: "link", "aria-haspopup": "dialog", onclick: () => show_ticket(ticket)},
      ticket));
  const texts = ["reason", "next", "needs"].map((name) => element("p", {class: name}));
  cells.why.append(...texts);
  const move = element(
      "button", {type: "button", "aria-label": t("move_one", {ticket}), onclick: () => take_ticket(ticket)},
      t("move"));
  cells.move.append(move);
  return {line, cells, move, reason: texts[0], next: texts[1], needs: texts[2]};
}

// Where the page can say it whole, nothing of its own goes before it.
function show_reason(node, row) {
  if (is_known(row.said) && row.reason) return set_items(node, [sentence(row.said, row.reason)]);
  const says_more = bench_language === null || !told_by_state.includes(row.state);
  const theirs = says_more ? row.reason ?? "" : "";
  set_both(node, row.grade ? word_of("grade", row.grade) : "", theirs);
}

function fill(view, row, now) {
  const {cells} = view;
  set_text(cells.battery, label_words(row.label ?? row.battery));
  set_text(cells.state, word_of("state", row.state));
  set_text(cells.place, row.place ?? "");
  set_text(cells.reserve_capacity, reserve_capacity(row));
  set_text(cells.grade, grade_words(row));
  set_text(cells.age, row.is_closed ? moment(row.received_at) : age(row.received_at, now));
  set_text(cells.promised, short_moment(row.promised_at));
  const is_late = !row.grade && row.promised_at && row.promised_at < now;
  cells.promised.classList.toggle("late", Boolean(is_late));
  if (is_late) cells.promised.append(element("p", {}, t("past_its_time")));
  cells.age.title = moment(row.received_at);
  show_reason(view.reason, row);
  set_text(view.next, next_step(row));
  show_needs(view, row);
  set_hidden(view.move, Boolean(row.is_closed));
  for (const node of [view.reason, view.next, view.needs]) set_hidden(node, node.textContent === "");
  for (const cell of Object.values(cells)) {
    cell.toggleAttribute("data-empty", cell.textContent === "" || cell.textContent === no_grade);
  }
}

// A row that is put elsewhere loses the focus in it.
function put_in_order(body, lines) {
  const focused = body.contains(document.activeElement) ? document.activeElement : null;
  lines.forEach((line, i) => {
    if (body.children[i] !== line) body.insertBefore(line, body.children[i] ?? null);
  });
  if (focused && focused !== document.activeElement) focused.focus({preventScroll: true});
}

export function show_queue(bench, take_ticket) {
  const body = document.getElementById("queue");
  const queue = [...bench.queue, ...closed_rows()];
  const wanted = wanted_of(queue, (row) => [next_step(row), needs_words(row) ?? row.needs]);
  const names = new Set(wanted.map((row) => row.ticket));
  for (const [ticket, view] of rows) {
    if (names.has(ticket)) continue;
    view.line.remove();
    rows.delete(ticket);
  }
  for (const row of wanted) {
    if (!rows.has(row.ticket)) rows.set(row.ticket, make_row(row.ticket, take_ticket));
    fill(rows.get(row.ticket), row, bench.at);
  }
  put_in_order(body, wanted.map((row) => rows.get(row.ticket).line));
  const all = queue.length;
  set_text(
      document.getElementById("queue_count"),
      wanted.length === all ? count_of("tickets", all, {all}) :
                              count_of("tickets_of", all, {shown: wanted.length, all}));
  set_hidden(document.getElementById("queue_empty"), wanted.length > 0);
}
