// SPDX-License-Identifier: Apache-2.0
// The queue as a table; rows are kept and rewritten, so that focus stays where it is.
import {element, kind_word, plain, set_hidden, set_text} from "/dom.js";
import {open_ticket} from "/ticket.js";

const columns =
    ["Ticket", "Battery", "State", "Place", "Reserve capacity", "Grade", "Why, and what comes next", "Move"];
const rows = new Map();
const no_grade = "–";
let filter = "";

export function set_filter(text) {
  filter = text.trim().toLowerCase();
}

function reserve_capacity(row) {
  if (typeof row.reserve_capacity_min !== "number") {
    return typeof row.rated_min === "number" ? `rated ${row.rated_min.toFixed(0)} min` : "";
  }
  let text = `${row.reserve_capacity_min.toFixed(1)}`;
  if (typeof row.reserve_capacity_u_min === "number")
    text += ` ± ${(2 * row.reserve_capacity_u_min).toFixed(1)}`;
  text += " min";
  if (typeof row.rated_min === "number") text += ` of ${row.rated_min.toFixed(0)}`;
  return text;
}

function next_step(row) {
  if (row.next) return `Next: ${row.next.procedure} on a ${kind_word(row.next.place_kind)}.`;
  return "";
}

function make_row(ticket, take_ticket) {
  const line = element("tr", {role: "row"});
  const cells = columns.map((name) => {
    const cell = element(name === "Ticket" ? "th" : "td", {
      role: name === "Ticket" ? "rowheader" : "cell",
      "data-label": name,
      scope: name === "Ticket" ? "row" : null
    });
    line.append(cell);
    return cell;
  });
  cells[0].append(element(
      "button",
      {type: "button", class: "link", "aria-haspopup": "dialog", onclick: () => open_ticket(ticket)},
      ticket));
  cells[5].className = "grade";
  const texts = ["reason", "next", "needs"].map((name) => element("p", {class: name}));
  cells[6].append(...texts);
  cells[7].append(element(
      "button", {type: "button", "aria-label": `Move ${ticket}`, onclick: () => take_ticket(ticket)},
      "Move"));
  return {line, cells, reason: texts[0], next: texts[1], needs: texts[2]};
}

function fill(view, row) {
  const texts = [
    row.label ?? row.battery ?? "", plain(row.state), row.place ?? "", reserve_capacity(row),
    row.grade ?? no_grade
  ];
  texts.forEach((text, i) => set_text(view.cells[i + 1], text));
  set_text(view.reason, row.reason ?? "");
  set_text(view.next, next_step(row));
  set_text(view.needs, row.needs ? `Needs you: ${row.needs}` : "");
  for (const node of [view.reason, view.next, view.needs]) set_hidden(node, node.textContent === "");
  for (const cell of view.cells) {
    cell.toggleAttribute("data-empty", cell.textContent === "" || cell.textContent === no_grade);
  }
}

function is_wanted(row) {
  if (!filter) return true;
  const all = [
    row.ticket, row.battery, row.label, plain(row.state), row.place, row.grade, row.reason, next_step(row),
    row.needs
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
      wanted.length === all ? `${all} ticket${all === 1 ? "" : "s"}` : `${wanted.length} of ${all} tickets`);
  set_hidden(document.getElementById("queue_empty"), wanted.length > 0);
}
