// SPDX-License-Identifier: Apache-2.0
// Many cores at once: serial, volts and a look each, by scanner and keyboard; then tickets for what survives.
// The rows are kept until the page is left, so that a closed dialog loses nothing.
import {number, typed} from "/amounts.js";
import {change, say} from "/api.js";
import {flat_cell_v, outcome_of} from "/batch_rules.js";
import {amount_input, battery_of, input, label_fields, number_of, select, signs} from "/battery_form.js";
import {open_dialog} from "/dialog.js";
import {element, field, group, on_enter, set_error, set_text, text_of} from "/dom.js";
import {count_of, t, word_of} from "/words.js";

const rows_max = 200;
const rows = [];
let last_number = 0;

// The rules of this batch as the form has them now.
function rules_of(form) {
  const cells = Number(text_of(form, "cells")) || 6;
  return {cells, least_v: typed(text_of(form, "least_v")) ?? 0};
}

function result_node(row, rules) {
  const node = element("td");
  if (row.ticket)
    set_text(node, t("batch_ticket", {ticket: row.ticket}));
  else if (row.error)
    set_error(node, row.error);
  else
    set_text(node, word_of("batch", outcome_of(row, rules, rows), {volts: number(rules.least_v, 2)}));
  return node;
}

function row_node(row, rules, redraw) {
  const take_out = element(
      "button", {
        type: "button",
        "aria-label": t("take_out_one", {serial: row.serial}),
        disabled: Boolean(row.ticket),
        onclick: () => {
          rows.splice(rows.indexOf(row), 1);
          redraw();
        }
      },
      t("take_out"));
  return element(
      "tr", {}, element("th", {scope: "row"}, row.serial), element("td", {}, `${number(row.volts, 2)} V`),
      element("td", {}, row.seen ? word_of("sign", row.seen) : ""), result_node(row, rules),
      element("td", {}, take_out));
}

const waiting = (rules) => rows.filter((row) => !row.ticket && outcome_of(row, rules, rows) === "ticket");

function summary_text(rules) {
  const tickets = rows.filter((row) => row.ticket).length;
  const next = waiting(rules).length;
  return t("batch_summary", {rows: rows.length, next, tickets, aside: rows.length - tickets - next});
}

function entry_fields(redraw) {
  const serial = input("serial", {maxlength: "64", autofocus: true});
  const volts = amount_input("volts");
  const seen =
      select("seen", [["", t("nothing_seen")], ...signs.map((one) => [one, word_of("sign_sentence", one)])]);
  const trouble = element("p", {class: "hint", role: "status"});
  const add = () => {
    const value = typed(volts.value);
    const is_missing = !serial.value.trim() || value === null || Number.isNaN(value);
    if (is_missing || rows.length >= rows_max) {
      set_text(trouble, is_missing ? t("core_is_missing") : t("too_many_cores", {count: rows_max}));
      return (serial.value.trim() ? volts : serial).focus();
    }
    last_number += 1;
    rows.push({
      number: last_number,
      serial: serial.value.trim(),
      volts: value,
      seen: seen.value,
      key: crypto.randomUUID()
    });
    for (const control of [serial, volts, seen]) control.value = "";
    set_text(trouble, redraw());
    serial.focus();
  };
  on_enter(serial, () => volts.focus());
  on_enter(volts, () => seen.focus());
  on_enter(seen, add);
  const button = element("button", {type: "button", onclick: add}, t("add_core"));
  const fields = group(
      t("each_core"), field(t("serial_number"), serial), field(t("volts_by_meter"), volts),
      field(t("look_at_it"), seen, t("batch_enter")), button, trouble);
  fields.className = "scans";
  return fields;
}

// Sent one after the other: the bench has other work too. One that fails does not stop the others, and is
// sent again under its old key.
async function open_tickets(form, redraw) {
  const label = battery_of(form);
  for (const row of waiting(rules_of(form))) {
    const terminals_damaged = row.seen === "terminals_damaged";
    const inspection = {terminals_damaged, remarks: t("batch_remark", {volts: number(row.volts, 2)})};
    try {
      const answer =
          await change("/api/v1/tickets", {battery: {...label, serial: row.serial}, inspection}, row.key);
      row.ticket = answer.ticket;
    } catch (error) {
      row.error = error;
    }
    redraw();
  }
}

export function open_batch() {
  const body = element("tbody");
  const summary = element("p", {role: "status"});
  const least = amount_input("least_v", {required: true, value: number(6 * flat_cell_v, 1)});
  let form = null;
  const redraw = () => {
    form ??= body.closest("form");
    const rules = rules_of(form);
    body.replaceChildren(...rows.map((row) => row_node(row, rules, redraw)).reverse());
    set_text(summary, summary_text(rules));
    return "";
  };
  const heads = [t("serial"), t("volts"), t("seen"), t("what_becomes"), t("take_out")];
  const table = element(
      "table", {class: "budget"}, element("caption", {}, t("batch_caption")),
      element("thead", {}, element("tr", {}, ...heads.map((text) => element("th", {scope: "col"}, text)))),
      body);
  const shared =
      group(t("same_of_all"), ...label_fields(), field(t("least_volts"), least, t("least_volts_hint")));
  shared.className = "shared_label";
  open_dialog({
    title: t("many_at_once"),
    wide: true,
    stays: true,
    cancel: t("close"),
    content: [
      element("p", {class: "quiet"}, t("batch_what")),
      entry_fields(redraw),
      summary,
      element(
          "div",
          {class: "sideways batch_list", tabindex: "0", role: "region", "aria-label": t("batch_caption")},
          table),
      shared,
    ],
    buttons: [{label: t("open_tickets"), value: "open", strong: true}],
    act: async (_, sent) => {
      number_of(sent, "least_v", t("least_volts"));
      await open_tickets(sent, redraw);
      const opened = rows.filter((row) => row.ticket).length;
      say(count_of("batch_said", opened, {n: opened}));
    },
  });
  for (const name of ["cells", "least_v"])
    body.closest("form").elements[name].addEventListener("change", redraw);
  redraw();
}
