// SPDX-License-Identifier: Apache-2.0
// The look at a battery: a checklist with a drawing beside each sign, its weight, how its posts lie and what
// its vehicle asks for. At the counter it is a part of the drop-off, at the bench a dialog of its own.
import {acid_fields, acid_of} from "/acid.js";
import {stated} from "/amounts.js";
import {change, say, ticket_path} from "/api.js";
import {amount_input, input, number_of, post_fields, signs} from "/battery_form.js";
import {open_dialog} from "/dialog.js";
import {element, field, group, text_of} from "/dom.js";
import {picture_of} from "/inspection_pictures.js";
import {t, word_of} from "/words.js";

const texts = ["remarks", "plus_at", "post", "vehicle_size_code", "vehicle_plus_at", "vehicle_post"];
// What was dangerous once stays so: the bench takes none of these back.
const dangers = ["cracked", "leaking", "swollen", "frozen"];

function sign_box(name) {
  return element(
      "label", {class: "look"}, element("input", {type: "checkbox", name}), picture_of(name),
      element("span", {}, word_of("sign_sentence", name)));
}

function layout() {
  const asked = group(
      t("vehicle_asks"), element("p", {class: "hint"}, t("vehicle_hint")),
      field(t("size_code"), input("vehicle_size_code", {maxlength: "16"})), ...post_fields("vehicle_"));
  const both = element("div", {class: "drop_off"}, group(t("this_battery"), ...post_fields("")), asked);
  return element("details", {class: "layout"}, element("summary", {}, t("size_and_posts")), both);
}

export function inspection_fields() {
  return [
    element("div", {class: "looks"}, ...signs.map(sign_box)),
    field(t("weight"), amount_input("weight_kg"), t("weight_hint")),
    layout(),
    field(t("remarks"), input("remarks", {maxlength: "300"})),
    acid_fields(),
  ];
}

// As the bench reads it. Throws a sentence that names the field.
export function inspection_of(form) {
  const seen = Object.fromEntries(signs.map((name) => [name, form.elements[name].checked]));
  const weight_kg = number_of(form, "weight_kg", t("weight"));
  if (weight_kg !== null) seen.weight_kg = weight_kg;
  const acid = acid_of(form);
  if (acid) seen.acid = acid;
  for (const name of texts) {
    if (text_of(form, name)) seen[name] = text_of(form, name);
  }
  return seen;
}

function fill_in(form, seen) {
  for (const name of signs) {
    form.elements[name].checked = seen[name];
    form.elements[name].disabled = seen[name] && dangers.includes(name);
  }
  if (typeof seen.weight_kg === "number") form.elements.weight_kg.value = stated(seen.weight_kg);
  for (const name of texts) form.elements[name].value = seen[name];
}

// `then` shows the ticket again.
export function open_inspection(page, then) {
  const {ticket, inspection} = page.ticket;
  const fields = element("div", {class: "inspection"}, ...inspection_fields());
  open_dialog({
    title: t("inspection_of", {ticket}),
    wide: true,
    content: [fields],
    buttons: [{label: t("note_it"), value: "note", strong: true}],
    act: async (_, form) => {
      const answer = await change(ticket_path(ticket, "inspection"), inspection_of(form));
      say(t("inspection_noted", {ticket}), (answer.warnings ?? []).join(" "));
      setTimeout(then);
    },
  });
  fill_in(fields.closest("form"), inspection);
  fields.querySelector(".layout").open = texts.slice(1).some((name) => inspection[name]);
}
