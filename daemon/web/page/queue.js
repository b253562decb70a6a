// SPDX-License-Identifier: Apache-2.0
// The queue as a table; rows are kept and rewritten, so that focus stays where it is.
import {moment, number} from "/amounts.js";
import {with_view} from "/api.js";
import {element, set_both, set_hidden, set_said, set_text} from "/dom.js";
import {bench_language, count_of, has_word, label_words, t, word_of} from "/words.js";

const columns = [
  t("ticket"), t("battery"), t("state"), t("place"), t("reserve_capacity"), t("grade"), t("why_and_next"),
  t("move")
];
// Why it is in one of these, state and place say.
const told_by_state = ["received", "charging", "resting", "testing", "recharging"];
const rows = new Map();
const no_grade = "–";
let filter = "";

export function set_filter(text) {
  filter = text.trim().toLowerCase();
}

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
  if (!next) return "";
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

export function make_heads() {
  const heads = columns.map((name, i) => i === 4 ? t("reserve_capacity_k2") : name);
  document.getElementById("queue_heads")
      .append(...heads.map((text) => element("th", {role: "columnheader", scope: "col"}, text)));
}

const show_ticket = (ticket) => with_view("/ticket.js", (view) => view.open_ticket(ticket));

function make_row(ticket, take_ticket) {
  const line = element("tr", {role: "row"});
  const cells = columns.map((name, i) => {
    const cell = element(
        i === 0 ? "th" : "td",
        {role: i === 0 ? "rowheader" : "cell", "data-label": name, scope: i === 0 ? "row" : null});
    line.append(cell);
    return cell;
  });
  cells[0].append(element(
      "button",
      {type: "button", class: "link", "aria-haspopup": "dialog", onclick: () => show_ticket(ticket)},
      ticket));
  cells[5].className = "grade";
  const texts = ["reason", "next", "needs"].map((name) => element("p", {class: name}));
  cells[6].append(...texts);
  cells[7].append(element(
      "button", {type: "button", "aria-label": t("move_one", {ticket}), onclick: () => take_ticket(ticket)},
      t("move")));
  return {line, cells, reason: texts[0], next: texts[1], needs: texts[2]};
}

function fill(view, row) {
  const texts = [
    label_words(row.label ?? row.battery), word_of("state", row.state), row.place ?? "",
    reserve_capacity(row), grade_words(row)
  ];
  texts.forEach((text, i) => set_text(view.cells[i + 1], text));
  const says_more = bench_language === null || !told_by_state.includes(row.state);
  set_both(view.reason, row.grade ? word_of("grade", row.grade) : "", says_more ? row.reason ?? "" : "");
  set_text(view.next, next_step(row));
  show_needs(view, row);
  for (const node of [view.reason, view.next, view.needs]) set_hidden(node, node.textContent === "");
  for (const cell of view.cells) {
    cell.toggleAttribute("data-empty", cell.textContent === "" || cell.textContent === no_grade);
  }
}

function is_wanted(row) {
  if (!filter) return true;
  const all = [
    row.ticket, row.battery, label_words(row.label), word_of("state", row.state), row.place, row.grade,
    row.reason, next_step(row), needs_words(row) ?? row.needs
  ];
  return all.filter(Boolean).join(" ").toLowerCase().includes(filter);
}

export function show_queue(bench, take_ticket) {
  const body = document.getElementById("queue");
  const wanted = bench.queue.filter(is_wanted);
  const names = new Set(wanted.map((row) => row.ticket));
  for (const [ticket, view] of rows) {
    if (names.has(ticket)) continue;
    view.line.remove();
    rows.delete(ticket);
  }
  wanted.forEach((row, i) => {
    if (!rows.has(row.ticket)) rows.set(row.ticket, make_row(row.ticket, take_ticket));
    const view = rows.get(row.ticket);
    fill(view, row);
    if (body.children[i] !== view.line) body.insertBefore(view.line, body.children[i] ?? null);
  });
  const all = bench.queue.length;
  set_text(
      document.getElementById("queue_count"),
      wanted.length === all ? count_of("tickets", all, {all}) :
                              count_of("tickets_of", all, {shown: wanted.length, all}));
  set_hidden(document.getElementById("queue_empty"), wanted.length > 0);
}
