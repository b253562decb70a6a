// SPDX-License-Identifier: Apache-2.0
// The drop-off form: what the label says, what the person says, what the eye sees.
import {degree_unit, in_degc} from "/amounts.js";
import {change, read, say, with_view} from "/api.js";
import {amount_input, battery_of, fill_label, input, label_fields, number_of} from "/battery_form.js";
import {cautions_of} from "/cautions.js";
import {open_dialog} from "/dialog.js";
import {element, field, group, on_enter, set_error, set_text, text_of} from "/dom.js";
import {inspection_fields, inspection_of} from "/inspection.js";
import {t} from "/words.js";

// Three scans, each ended by the scanner's Enter: battery, part, receipt. The third sends the form.
function scan_fields(scanned) {
  const serial = input("serial", {required: true, maxlength: "64", autofocus: !scanned, value: scanned});
  const part = input("part", {maxlength: "64", autofocus: Boolean(scanned)});
  const receipt = input("receipt", {maxlength: "60"});
  const status = element("p", {class: "hint", role: "status"});
  on_enter(serial, () => part.focus());
  on_enter(part, async () => {
    receipt.focus();
    if (!part.value.trim()) return;
    try {
      const found = await read(`/api/v1/parts/${encodeURIComponent(part.value.trim())}`);
      fill_label(part.form, found.battery);
      set_text(status, t("part_filled", {part: found.part}));
    } catch (error) {
      set_error(status, error);
    }
  });
  const scans = group(
      t("three_scans"), field(t("serial_number"), serial, t("serial_hint")),
      field(t("part_number"), part, t("part_hint")), field(t("receipt_number"), receipt), status);
  scans.className = "scans";
  return scans;
}

function form_parts(cautions, scanned) {
  const label = group(t("from_the_label"), ...label_fields());
  const complaint = element("textarea", {name: "complaint", rows: "2", maxlength: "500"});
  const promised = field(
      t("promised_for"), input("promised_at", {type: "datetime-local"}), t("promised_hint"));
  const story = group(
      t("from_the_person"), field(t("what_is_wrong"), complaint),
      field(t("sold_on"), input("sold_on", {type: "date"})),
      field(t("monitor_said"), input("monitor_report", {maxlength: "200"})),
      field(t("monitor_charge"), amount_input("monitor_percent")),
      field(t("monitor_age"), amount_input("monitor_days")),
      field(t("monitor_degrees", {unit: degree_unit}), amount_input("monitor_degrees")),
      field(t("monitor_reset"), input("monitor_reset_on", {type: "date"})), promised);
  const look = group(t("look_at_it"), ...inspection_fields());
  const care = element(
      "details", {}, element("summary", {}, t("cautions_before_handling")),
      element("ul", {class: "cautions"}, ...cautions));
  return [
    care, scan_fields(scanned), element("div", {class: "drop_off"}, label, element("div", {}, story, look))
  ];
}

// What the vehicle's monitor reported; null where nothing was read.
function monitor_of(form) {
  const percent = number_of(form, "monitor_percent", t("monitor_charge"));
  const degrees = number_of(form, "monitor_degrees", t("monitor_degrees", {unit: degree_unit}));
  const monitor = {
    soc_1: percent === null ? null : percent / 100,
    age_days: number_of(form, "monitor_days", t("monitor_age")),
    battery_degc: degrees === null ? null : in_degc(degrees),
    reset_on: text_of(form, "monitor_reset_on") || null,
  };
  return Object.values(monitor).every((value) => value === null) ? null : monitor;
}

function request_of(form) {
  const battery = {serial: text_of(form, "serial"), ...battery_of(form)};
  const story = {};
  for (const name of ["complaint", "sold_on", "receipt", "monitor_report"]) {
    if (text_of(form, name)) story[name] = text_of(form, name);
  }
  const monitor = monitor_of(form);
  if (monitor) story.monitor = monitor;
  const request = {battery, story, inspection: inspection_of(form)};
  const promised = text_of(form, "promised_at");
  if (promised) request.promised_at = new Date(promised).toISOString().replace(/\.\d+Z$/u, "Z");
  return request;
}

// `scanned` is the serial, if that was scanned already.
export function open_drop_off(bench, scanned = null) {
  open_dialog({
    title: t("new_drop_off"),
    wide: true,
    content: form_parts(cautions_of(bench), scanned),
    buttons: [{label: t("take_it_in"), value: "add", strong: true}],
    act: async (_, form) => {
      const answer = await change("/api/v1/tickets", request_of(form));
      const warnings = answer.warnings ?? [];
      say(t("ticket_is_open", {ticket: answer.ticket}), warnings.join(" "));
      setTimeout(() => with_view("/receipt.js", (view) => view.open_receipt(answer.ticket, warnings)));
    },
  });
}
