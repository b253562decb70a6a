// SPDX-License-Identifier: Apache-2.0
// What was measured: value, uncertainty, method, and the budget behind it.
import {amount, degree_unit, in_degrees, kelvin_in_degrees, moment, number} from "/amounts.js";
import {element, said} from "/dom.js";
import {t, word_of} from "/words.js";

// By the end of a measurand's key: unit as shown, and how many of it make one of the bench's.
const units = [
  ["_1_per_day", "% / d", 100], ["_mv_per_day", "mV / d", 1], ["_ohm", "mΩ", 1000], ["_min", "min", 1],
  ["_ah", "Ah", 1], ["_a", "A", 1], ["_v", "V", 1], ["_1", "%", 100]
];

function shown_in(measurand) {
  if (measurand.endsWith("_degc"))
    return {unit: degree_unit, value: in_degrees, u: (u) => u * kelvin_in_degrees};
  const [, unit, factor] = units.find(([end]) => measurand.endsWith(end)) ?? ["", "", 1];
  const scaled = (value) => value * factor;
  return {unit, value: scaled, u: scaled};
}

// So many decimals that an uncertainty shows two digits.
function digits_of(uncertainty) {
  if (!(uncertainty > 0)) return 3;
  return Math.min(6, Math.max(0, 1 - Math.floor(Math.log10(uncertainty))));
}

// "101.8 ± 3.2 min", k = 2.
export function value_text(finding) {
  const shown = shown_in(finding.measurand);
  const expanded = 2 * shown.u(finding.u);
  const digits = digits_of(expanded);
  return `${number(shown.value(finding.value), digits)} ± ${number(expanded, digits)} ${shown.unit}`.trim();
}

function budget_line(line, uncertainty) {
  return element(
      "tr", {}, element("th", {scope: "row"}, said(line.quantity)), element("td", {}, line.value ?? ""),
      element("td", {}, said(line.u_input)), element("td", {}, line.sensitivity ?? ""),
      element("td", {}, uncertainty(line.u)),
      element("td", {}, line.share > 0 ? `${number(100 * line.share, 1)} %` : ""));
}

function budget_table(finding, name) {
  const shown = shown_in(finding.measurand);
  const uncertainty = (u) => amount(shown.u(u), digits_of(shown.u(finding.u)) + 1, shown.unit);
  // A battery may be measured for the same thing again.
  const label = [name, finding.run, moment(finding.at)].filter(Boolean).join(", ");
  const heads = [t("quantity"), t("value"), t("its_u"), t("sensitivity"), t("adds"), t("share")];
  const table = element(
      "table", {class: "budget"},
      element("thead", {}, element("tr", {}, ...heads.map((text) => element("th", {scope: "col"}, text)))),
      element("tbody", {}, ...finding.budget.map((line) => budget_line(line, uncertainty))),
      element(
          "tfoot", {},
          element(
              "tr", {}, element("th", {scope: "row", colspan: "4"}, t("combined")),
              element("td", {}, uncertainty(finding.u)), element("td", {}, "100 %"))));
  const about = t("budget_of", {label});
  return element(
      "details", {}, element("summary", {}, t("budget")),
      element("div", {class: "sideways", tabindex: "0", role: "region", "aria-label": about}, table));
}

export const run_and_moment = (one) => `${one.run ?? t("inspection")}, ${moment(one.at)}`;

export function finding_item(finding) {
  const name = word_of("measurand", finding.measurand);
  const how = [finding.method, finding.conditions].filter(Boolean).join("; ");
  return element(
      "div", {class: "item"},
      element("p", {}, `${name}: `, element("span", {class: "amount"}, value_text(finding)), ", k = 2"),
      how ? element("p", {class: "quiet"}, said(how)) : null,
      element("p", {class: "quiet"}, run_and_moment(finding)),
      finding.budget?.length ? budget_table(finding, name) : null);
}
