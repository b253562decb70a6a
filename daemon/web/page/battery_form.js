// SPDX-License-Identifier: Apache-2.0
// The label of a battery and the look at it, as fields. The bench checks it all again.
import {stated, typed} from "/amounts.js";
import {element, field, options, text_of} from "/dom.js";
import {t, word_of} from "/words.js";

const standards = [
  ["unknown", t("standard_unknown")], ["sae", "SAE"], ["en", "EN"], ["iec", "IEC"], ["jis", "JIS"],
  ["gb", "GB"]
];
const chemistries = ["flooded", "efb", "agm", "gel", "lead", "lithium", "other", "unknown"];
export const signs = [
  "cracked", "leaking", "swollen", "frozen", "terminals_damaged", "terminals_corroded", "vents_blocked",
  "electrolyte_low", "label_unreadable"
];

export const input = (name, attributes = {}) => element("input", {name, autocomplete: "off", ...attributes});
export const select = (name, pairs, attributes = {}) =>
    element("select", {name, ...attributes}, ...options(pairs));
// Typed with a point or a comma, whatever the browser's language is.
export const amount_input = (name, attributes = {}) =>
    input(name, {inputmode: "decimal", maxlength: "12", ...attributes});

const standard_select = (name, label) =>
    select(name, [["", t("not_stated")], ...standards], {"aria-label": label});

// Of a battery, or under a prefix of what a vehicle asks for, where nothing must be stated and nothing ages.
export function label_fields(prefix = "") {
  const required = prefix === "";
  const empty = ["", required ? t("choose") : t("not_stated")];
  const kinds = chemistries.map((one) => [one, word_of("chemistry_long", one)]);
  const counts = [["6", t("cells_6")], ["3", t("cells_3")]];
  const rc_standard = standard_select(`${prefix}reserve_capacity_standard`, t("reserve_capacity_standard"));
  const made = input("manufactured_on", {pattern: "\\d{4}-\\d{2}(-\\d{2})?", placeholder: "2024-03"});
  return [
    field(t("chemistry"), select(`${prefix}chemistry`, [empty, ...kinds], {required})),
    field(t("cells"), select(`${prefix}cells`, [empty, ...counts], {required})),
    field(t("size_code"), input(`${prefix}size_code`, {maxlength: "16"})),
    field(t("cca_amps"), amount_input(`${prefix}cca_a`)),
    field(t("standard"), standard_select(`${prefix}cca_standard`, t("cca_standard"))),
    field(t("reserve_capacity_minutes"), amount_input(`${prefix}reserve_capacity_min`)),
    field(t("standard"), rc_standard),
    field(t("capacity_20h_ah"), amount_input(`${prefix}c20_ah`)),
    ...(required ?
            [
              field(t("made_in"), made, t("year_month")),
              field(t("date_code"), input("date_code", {maxlength: "12", placeholder: "C24"}))
            ] :
            []),
  ];
}

const posts = ["taper_large", "taper_small", "side", "stud"];
const sides = ["left", "right"];

// How the posts of a battery lie, or under a prefix as a vehicle asks for them.
export function post_fields(prefix) {
  const none = ["", t("not_stated")];
  const words = (family, codes) => [none, ...codes.map((one) => [one, word_of(family, one)])];
  return [
    field(t("plus_at"), select(`${prefix}plus_at`, words("side", sides)), t("plus_at_hint")),
    field(t("post"), select(`${prefix}post`, words("post", posts))),
  ];
}

// Writes what a list of parts knows into the fields of a label; what it does not know becomes empty.
export function fill_label(form, battery) {
  const texts = ["chemistry", "cca_standard", "reserve_capacity_standard", "size_code"];
  for (const name of texts) form.elements[name].value = battery[name] ?? "";
  form.elements.cells.value = String(battery.cells ?? "");
  for (const name of ["cca_a", "reserve_capacity_min", "c20_ah"])
    form.elements[name].value = typeof battery[name] === "number" ? stated(battery[name]) : "";
}

// An amount of a label with its standard; null if it does not state it.
export function rated(battery, key, unit) {
  const value = battery[key];
  if (typeof value !== "number") return null;
  const standard = battery[key.replace(/_[a-z]+$/u, "_standard")];
  return `${stated(value)} ${unit}${standard && standard !== "unknown" ? `, ${standard.toUpperCase()}` : ""}`;
}

// A number that a person typed; null if none. Throws a sentence that names the field.
export function number_of(form, name, label) {
  const value = typed(text_of(form, name));
  if (Number.isNaN(value)) {
    form.elements[name].focus();
    throw new Error(t("no_number", {field: label, text: text_of(form, name)}));
  }
  return value;
}

// The label as the bench reads it.
export function battery_of(form) {
  const battery = {chemistry: text_of(form, "chemistry"), cells: Number(text_of(form, "cells"))};
  const amounts = {
    cca_a: t("cca_amps"),
    reserve_capacity_min: t("reserve_capacity_minutes"),
    c20_ah: t("capacity_20h_ah")
  };
  for (const [name, label] of Object.entries(amounts)) {
    const value = number_of(form, name, label);
    if (value !== null) battery[name] = value;
  }
  const said = ["cca_standard", "reserve_capacity_standard", "size_code", "manufactured_on", "date_code"];
  for (const name of said) {
    if (text_of(form, name)) battery[name] = text_of(form, name);
  }
  return battery;
}
