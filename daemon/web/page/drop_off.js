// SPDX-License-Identifier: Apache-2.0
// The drop-off form: what the label says, what the person says, what the eye sees.
import {change, say} from "/api.js";
import {battery_of, group, input, label_fields, sign_fields, signs, text_of} from "/battery_form.js";
import {cautions_of} from "/cautions.js";
import {open_dialog} from "/dialog.js";
import {element, field} from "/dom.js";
import {t} from "/words.js";

function form_parts(cautions) {
  const serial = input("serial", {required: true, maxlength: "64"});
  const label =
      group(t("from_the_label"), field(t("serial_number"), serial, t("serial_hint")), ...label_fields());
  const complaint = element("textarea", {name: "complaint", rows: "2", maxlength: "500"});
  const story = group(
      t("from_the_person"), field(t("what_is_wrong"), complaint),
      field(t("sold_on"), input("sold_on", {type: "date"})),
      field(t("receipt_number"), input("receipt", {maxlength: "60"})),
      field(t("monitor_said"), input("monitor_report", {maxlength: "200"})));
  const look =
      group(t("look_at_it"), sign_fields(), field(t("remarks"), input("remarks", {maxlength: "300"})));
  const care = element(
      "details", {}, element("summary", {}, t("cautions_before_handling")),
      element("ul", {class: "cautions"}, ...cautions));
  return [care, element("div", {class: "drop_off"}, label, element("div", {}, story, look))];
}

function request_of(form) {
  const battery = {serial: text_of(form, "serial"), ...battery_of(form)};
  const story = {};
  for (const name of ["complaint", "sold_on", "receipt", "monitor_report"]) {
    if (text_of(form, name)) story[name] = text_of(form, name);
  }
  const inspection = Object.fromEntries(signs.map((name) => [name, form.elements[name].checked]));
  if (text_of(form, "remarks")) inspection.remarks = text_of(form, "remarks");
  return {battery, story, inspection};
}

export function open_drop_off(bench) {
  open_dialog({
    title: t("new_drop_off"),
    wide: true,
    content: form_parts(cautions_of(bench)),
    buttons: [{label: t("take_it_in"), value: "add", strong: true}],
    act: async (_, form) => {
      const answer = await change("/api/v1/tickets", request_of(form));
      say(t("ticket_is_open", {ticket: answer.ticket}), (answer.warnings ?? []).join(" "));
    },
  });
}
