// SPDX-License-Identifier: Apache-2.0
// The look at a battery: a checklist with a drawing beside each sign, and its weight.
import {amount_input, input, number_of, signs} from "/battery_form.js";
import {element, field, text_of} from "/dom.js";
import {picture_of} from "/inspection_pictures.js";
import {t, word_of} from "/words.js";

function sign_box(name) {
  return element(
      "label", {class: "look"}, element("input", {type: "checkbox", name}), picture_of(name),
      element("span", {}, word_of("sign_sentence", name)));
}

export function inspection_fields() {
  return [
    element("div", {class: "looks"}, ...signs.map(sign_box)),
    field(t("weight"), amount_input("weight_kg"), t("weight_hint")),
    field(t("remarks"), input("remarks", {maxlength: "300"})),
  ];
}

// As the bench reads it. Throws a sentence that names the field.
export function inspection_of(form) {
  const seen = Object.fromEntries(signs.map((name) => [name, form.elements[name].checked]));
  const weight_kg = number_of(form, "weight_kg", t("weight"));
  if (weight_kg !== null) seen.weight_kg = weight_kg;
  if (text_of(form, "remarks")) seen.remarks = text_of(form, "remarks");
  return seen;
}
