// SPDX-License-Identifier: Apache-2.0
// The drop-off form: what the label says, what the person says, what the eye sees. The bench checks it all
// again.
import {change, say} from "/api.js";
import {open_dialog} from "/dialog.js";
import {element, field, options} from "/dom.js";

const standards =
    [["", "not stated"], ["sae", "SAE"], ["en", "EN"], ["iec", "IEC"], ["jis", "JIS"], ["gb", "GB"]];
const chemistries = [
  ["", "choose"], ["flooded", "flooded"], ["efb", "EFB (enhanced flooded)"], ["agm", "AGM"], ["gel", "gel"],
  ["lithium", "lithium"], ["other", "other"], ["unknown", "unknown"]
];
const cells = [["", "choose"], ["6", "6 cells (12 V)"], ["3", "3 cells (6 V)"]];
const signs = [
  ["cracked", "The case is cracked"], ["leaking", "Acid is leaking"], ["swollen", "The case is swollen"],
  ["frozen", "It is or was frozen"], ["terminals_damaged", "A terminal is damaged"]
];

const input = (name, attributes = {}) => element("input", {name, autocomplete: "off", ...attributes});
const select = (name, pairs, attributes = {}) => element("select", {name, ...attributes}, ...options(pairs));
const number = (name, max) =>
    input(name, {type: "number", min: "0", max: String(max), step: "any", inputmode: "decimal"});

function group(title, ...children) {
  return element("fieldset", {}, element("legend", {}, title), ...children);
}

function form_parts(cautions) {
  const label = group(
      "From the label",
      field(
          "Serial or label number", input("serial", {required: true, maxlength: "64"}),
          "none? stick on your own"),
      field("Chemistry", select("chemistry", chemistries, {required: true})),
      field("Cells", select("cells", cells, {required: true})),
      field("Size code", input("size_code", {maxlength: "16"})),
      field("Cold cranking amperes, A", number("cca_a", 2000)),
      field(
          "Standard",
          select("cca_standard", standards, {"aria-label": "Standard of the cold cranking amperes"})),
      field("Reserve capacity, min", number("reserve_capacity_min", 600)),
      field(
          "Standard",
          select("reserve_capacity_standard", standards, {"aria-label": "Standard of the reserve capacity"})),
      field("20-hour capacity, Ah", number("c20_ah", 300)),
      field(
          "Made in", input("manufactured_on", {pattern: "\\d{4}-\\d{2}(-\\d{2})?", placeholder: "2024-03"}),
          "year-month"),
      field("or date code as stamped", input("date_code", {maxlength: "12", placeholder: "C24"})));
  const story = group(
      "From the person",
      field("What is wrong with it?", element("textarea", {name: "complaint", rows: "2", maxlength: "500"})),
      field("Sold on", input("sold_on", {type: "date"})),
      field("Number of the receipt", input("receipt", {maxlength: "60"})),
      field("What the vehicle's battery monitor said", input("monitor_report", {maxlength: "200"})));
  const look = group(
      "Look at it",
      element(
          "div", {class: "checks"},
          ...signs.map(
              ([name, text]) =>
                  element("label", {class: "check"}, element("input", {type: "checkbox", name}), text))),
      field("Remarks", input("remarks", {maxlength: "300"})));
  const care = element(
      "details", {}, element("summary", {}, "Cautions before you handle it"),
      element("ul", {class: "cautions"}, ...cautions.map((text) => element("li", {}, text))));
  return [care, element("div", {class: "drop_off"}, label, element("div", {}, story, look))];
}

function request_of(form) {
  const text = (name) => form.elements[name].value.trim();
  const battery = {serial: text("serial"), chemistry: text("chemistry"), cells: Number(text("cells"))};
  for (const name of ["cca_a", "reserve_capacity_min", "c20_ah"]) {
    if (text(name)) battery[name] = Number(text(name));
  }
  const said = ["cca_standard", "reserve_capacity_standard", "size_code", "manufactured_on", "date_code"];
  for (const name of said) {
    if (text(name)) battery[name] = text(name);
  }
  const story = {};
  for (const name of ["complaint", "sold_on", "receipt", "monitor_report"]) {
    if (text(name)) story[name] = text(name);
  }
  const inspection = Object.fromEntries(signs.map(([name]) => [name, form.elements[name].checked]));
  if (text("remarks")) inspection.remarks = text("remarks");
  return {battery, story, inspection};
}

export function open_drop_off(bench) {
  const cautions =
      bench?.cautions ?? [...document.querySelectorAll("#cautions li")].map((item) => item.textContent);
  open_dialog({
    title: "New drop-off",
    wide: true,
    content: form_parts(cautions),
    buttons: [{label: "Take it in", value: "add", strong: true}],
    act: async (_, form) => {
      const answer = await change("/api/v1/tickets", request_of(form));
      const warnings = (answer.warnings ?? []).join(" ");
      say(`Ticket ${answer.ticket} is open. ${warnings}`.trim());
    },
  });
}
