// SPDX-License-Identifier: Apache-2.0
// The technician's view: may this new battery be fitted, what does it need first, and did the vehicle take
// it? By its label and a meter, or from its ticket if a place measured it.
import {degree_unit, in_degc, typed} from "/amounts.js";
import {change} from "/api.js";
import {amount_input, battery_of, label_fields, number_of, post_fields} from "/battery_form.js";
import {open_dialog} from "/dialog.js";
import {element, field, group} from "/dom.js";
import {answer_parts} from "/fitting_answer.js";
import {t} from "/words.js";

function form_parts(ticket) {
  const label = ticket ? post_fields("") : [...label_fields(), ...post_fields("")];
  const meter = [
    field(t("ocv_volts"), amount_input("ocv_v"), ticket ? t("ocv_of_ticket") : t("ocv_hint")),
    field(t("battery_degrees", {unit: degree_unit}), amount_input("battery_degrees")),
    field(t("stood_hours"), amount_input("stood_h"), t("stood_hint")),
    field(t("charger_amps"), amount_input("charger_a")),
  ];
  const after = [
    field(t("monitor_age"), amount_input("monitor_age_days")),
    field(t("monitor_charge"), amount_input("monitor_soc")),
    field(t("running_volts"), amount_input("running_v")),
    field(t("drain_amps"), amount_input("drain_ma"), t("drain_hint")),
  ];
  return [
    group(t("new_battery"), ...label),
    group(
        t("vehicle_asks"), element("p", {class: "hint"}, t("vehicle_hint")), ...label_fields("v_"),
        ...post_fields("v_")),
    group(t("your_meter"), ...meter),
    group(t("after_fitting"), element("p", {class: "hint"}, t("after_hint")), ...after),
  ];
}

// What was filled in, under the bench's names; undefined if nothing.
function stated(form, texts, amounts) {
  const found = {};
  for (const [name, key] of texts) {
    if (form.elements[name].value.trim()) found[key] = form.elements[name].value.trim();
  }
  for (const [name, key, label, convert = (value) => value] of amounts) {
    const value = number_of(form, name, label);
    if (value !== null) found[key] = convert(value);
  }
  return Object.keys(found).length ? found : undefined;
}

function vehicle_of(form) {
  const texts = [
    "chemistry", "size_code", "cca_standard", "reserve_capacity_standard", "plus_at", "post"
  ].map((key) => [`v_${key}`, key]);
  const cells = typed(form.elements.v_cells.value);
  const vehicle = stated(form, texts, [
    ["v_cca_a", "cca_a", t("cca_amps")],
    ["v_reserve_capacity_min", "reserve_capacity_min", t("reserve_capacity_minutes")],
    ["v_c20_ah", "c20_ah", t("capacity_20h_ah")],
  ]);
  return cells === null ? vehicle : {...vehicle, cells};
}

function request_of(form, ticket) {
  return {
    ...(ticket ? {ticket} : {battery: battery_of(form)}),
    ...stated(
        form, [["plus_at", "plus_at"], ["post", "post"]], [["charger_a", "charger_a", t("charger_amps")]]),
    vehicle: vehicle_of(form),
    reading: stated(
        form, [],
        [
          ["ocv_v", "ocv_v", t("ocv_volts")],
          ["battery_degrees", "battery_degc", t("battery_degrees", {unit: degree_unit}), in_degc],
          ["stood_h", "stood_h", t("stood_hours")],
        ]),
    after: stated(
        form, [],
        [
          ["monitor_age_days", "monitor_age_days", t("monitor_age")],
          ["monitor_soc", "monitor_soc_1", t("monitor_charge"), (percent) => percent / 100],
          ["running_v", "running_v", t("running_volts")],
          ["drain_ma", "drain_a", t("drain_amps"), (milliamps) => milliamps / 1000],
        ]),
  };
}

// `page` is a ticket's page as the bench gives it, or null where there is no ticket.
export function open_fitting(page = null) {
  const ticket = page?.ticket.ticket ?? null;
  const result =
      element("section", {class: "answer", "aria-label": t("answer_title"), "aria-live": "polite"});
  open_dialog({
    title: ticket ? t("fitting_of", {ticket}) : t("fitting"),
    wide: true,
    content: [element("div", {class: "drop_off fitting"}, ...form_parts(ticket)), result],
    buttons: [{label: t("may_it_be_fitted"), value: "check", strong: true}],
    cancel: t("close"),
    stays: true,
    act: async (_, form) => {
      result.replaceChildren();
      const request = request_of(form, ticket);
      const answer = await change("/api/v1/fitting", request);
      result.replaceChildren(...answer_parts(answer, request, page?.battery ?? request.battery));
      result.scrollIntoView({block: "nearest"});
    },
  });
}
