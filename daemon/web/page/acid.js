// SPDX-License-Identifier: Apache-2.0
// A look into the cells with a hydrometer, as fields and as words. The bench refuses it of sealed batteries.
import {degree_unit, degrees, in_degc, number} from "/amounts.js";
import {amount_input, number_of} from "/battery_form.js";
import {element, field} from "/dom.js";
import {t} from "/words.js";

const cells = [1, 2, 3, 4, 5, 6];
const cell_field = (cell) => field(t("acid_of_cell", {cell}), amount_input(`gravity_${cell}`));

export function acid_fields() {
  return element(
      "details", {class: "acid"}, element("summary", {}, t("hydrometer")),
      element("p", {class: "hint"}, t("hydrometer_hint")), ...cells.map(cell_field),
      field(t("acid_degrees", {unit: degree_unit}), amount_input("acid_degrees")));
}

// As the bench reads it; null where nothing was typed. Throws a sentence that names the field.
export function acid_of(form) {
  const gravity = cells.map((cell) => number_of(form, `gravity_${cell}`, t("acid_of_cell", {cell})));
  const typed = number_of(form, "acid_degrees", t("acid_degrees", {unit: degree_unit}));
  while (gravity.length > 0 && gravity.at(-1) === null) gravity.pop();
  if (gravity.length === 0 && typed === null) return null;
  return {gravity, acid_degc: typed === null ? null : in_degc(typed)};
}

// "1.265, –, 1.26; 22 °C"; empty without a look.
export function acid_words(acid) {
  if (!acid) return "";
  const read = acid.gravity.map((one) => one === null ? "–" : number(one, 3)).join(", ");
  return `${read}; ${degrees(acid.acid_degc)}`;
}
