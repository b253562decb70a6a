// SPDX-License-Identifier: Apache-2.0
// The receipt of a drop-off, to be printed: what was received, for when it is expected, the ticket as a code.
import {moment, number, short_moment} from "/amounts.js";
import {read_ticket, say, say_error} from "/api.js";
import {rated, signs} from "/battery_form.js";
import {open_dialog} from "/dialog.js";
import {element, facts, said} from "/dom.js";
import {sentence} from "/said.js";
import {t, word_of} from "/words.js";

function battery_words(battery) {
  const parts = [
    word_of("chemistry", battery.chemistry), rated(battery, "c20_ah", "Ah"), rated(battery, "cca_a", "A"),
    battery.size_code
  ];
  return parts.filter(Boolean).join(", ");
}

function look_words(inspection) {
  const seen = signs.filter((sign) => inspection?.[sign]).map((sign) => word_of("sign", sign));
  if (typeof inspection?.weight_kg === "number") seen.push(`${number(inspection.weight_kg, 1)} kg`);
  return [...seen, inspection?.remarks].filter(Boolean).join(", ");
}

// What is said of the time: a promise of the queue, or why there is none.
function expectation(ticket) {
  if (ticket.promised_at) {
    return [
      element("p", {class: "expected"}, t("expected_ready", {moment: short_moment(ticket.promised_at)})),
      element("p", {class: "hint"}, t("expected_how"))
    ];
  }
  return [element("p", {class: "expected"}, t("nothing_promised"))];
}

function receipt_of({ticket, battery}, bench_name) {
  const src = `/api/v1/tickets/${encodeURIComponent(ticket.ticket)}/code.svg`;
  const state = ["refused", "held"].includes(ticket.state) ?
      [element("p", {}, word_of("state", ticket.state), ": ", sentence(ticket.said, ticket.state_reason))] :
      [];
  return element(
      "div", {class: "receipt_paper"}, element("p", {class: "from"}, bench_name),
      element("p", {class: "number"}, ticket.ticket),
      element("img", {src, alt: t("code_of", {ticket: ticket.ticket}), width: "308", height: "48"}), facts([
        [t("received"), moment(ticket.received_at)],
        [t("serial"), battery.serial],
        [t("battery"), battery_words(battery)],
        [t("complaint"), ticket.story?.complaint],
        [t("seen"), look_words(ticket.inspection)],
        [t("receipt"), ticket.story?.receipt],
      ]),
      ...state, ...expectation(ticket));
}

// A scan while the receipt is open belongs to the next battery.
function give_way_to_scans(dialog) {
  document.addEventListener("keydown", (event) => {
    const is_text =
        event.key.length === 1 && event.key !== " " && !event.ctrlKey && !event.metaKey && !event.altKey;
    if (!is_text || !dialog.open || !dialog.querySelector(".receipt_paper")) return;
    dialog.close();
    document.getElementById("scan").focus();
  });
}
give_way_to_scans(document.getElementById("dialog"));

// `warnings` are sentences of the bench about what was taken in.
export async function open_receipt(ticket, warnings = []) {
  let page;
  try {
    page = await read_ticket(ticket);
  } catch (error) {
    return say_error(error, ticket);
  }
  const bench_name = document.getElementById("bench_name").textContent;
  const notes = warnings.map((text) => element("p", {class: "needs"}, said(text)));
  open_dialog({
    title: t("receipt_title"),
    content: [...notes, receipt_of(page, bench_name)],
    buttons: [{label: t("print_receipt"), value: "print", strong: true}],
    act: () => {
      window.print();
      say(t("receipt_printed", {ticket}));
    },
    stays: true,
    cancel: t("close"),
  });
}
