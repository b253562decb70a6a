// SPDX-License-Identifier: Apache-2.0
// All that is known of one ticket, in the dialog: as it was when the dialog was opened.
import {read, say} from "/api.js";
import {make_chart} from "/chart.js";
import {open_dialog} from "/dialog.js";
import {amount, element, facts, moment, plain, section, set_text} from "/dom.js";

const chart_points_max = 400;
// Name, unit, and how many of that unit make one of the bench's.
const measurands = {
  ocv_v: ["Open-circuit voltage", "V", 1],
  soc_1: ["State of charge", "%", 100],
  resistance_ohm: ["Internal resistance", "mΩ", 1000],
  reserve_capacity_min: ["Reserve capacity as measured", "min", 1],
  reserve_capacity_ref_min: ["Reserve capacity at the reference temperature", "min", 1],
  delivered_ah: ["Charge given", "Ah", 1],
  returned_ah: ["Charge taken", "Ah", 1],
  case_degc: ["Case temperature", "°C", 1],
};
const signs = {
  cracked: "cracked",
  leaking: "leaking",
  swollen: "swollen",
  frozen: "frozen",
  terminals_damaged: "terminals damaged"
};
let chart = null;

// So many decimals that an uncertainty shows two digits.
function digits_of(uncertainty) {
  if (!(uncertainty > 0)) return 3;
  return Math.min(6, Math.max(0, 1 - Math.floor(Math.log10(uncertainty))));
}

const paragraph = (text, name = null) => text ? element("p", {class: name}, text) : null;

function rated(battery, key, unit) {
  const value = battery[key];
  if (typeof value !== "number") return null;
  const standard = battery[key.replace(/_[a-z]+$/u, "_standard")];
  return `${value} ${unit}${standard && standard !== "unknown" ? `, ${standard.toUpperCase()}` : ""}`;
}

function grade_part(page) {
  const {grade, ticket} = page;
  if (!grade) {
    return section("Grade", element("p", {}, "Not graded yet."), paragraph(ticket.state_reason, "quiet"));
  }
  return section(
      "Grade",
      element(
          "div", {class: "verdict"}, element("span", {class: "letter"}, grade.letter),
          paragraph(grade.reason)),
      facts([
        ["What to do", plain(grade.disposition)],
        ["Next", [grade.next_procedure, grade.next_why].filter(Boolean).join(". ")],
        ["Second life", grade.second_life],
        ["Warranty", grade.warranty],
      ]),
      ...(grade.flags ?? []).map((flag) => paragraph(flag)),
      element("ul", {}, ...(grade.rules ?? []).map((rule) => element("li", {}, rule.text))),
      paragraph(`${grade.policy}, Leadwright ${grade.software}, ${moment(grade.at)}`, "quiet"),
      element("p", {}, element("a", {
        href: `/api/v1/tickets/${encodeURIComponent(ticket.ticket)}/certificate.pdf`,
        target: "_blank",
        rel: "noopener",
      }, "Certificate (PDF, one page)")));
}

function ticket_part({ticket, battery}) {
  const seen = Object.keys(signs).filter((sign) => ticket.inspection?.[sign]).map((sign) => signs[sign]);
  return section("Battery and story", facts([
                   ["Serial", battery.serial],
                   ["Battery", battery.battery],
                   ["Chemistry", plain(battery.chemistry)],
                   ["Cells", battery.cells],
                   ["Cold cranking", rated(battery, "cca_a", "A")],
                   ["Reserve capacity", rated(battery, "reserve_capacity_min", "min")],
                   ["20-hour capacity", rated(battery, "c20_ah", "Ah")],
                   ["Size code", battery.size_code],
                   ["Made", battery.manufactured_on],
                   ["Complaint", ticket.story?.complaint],
                   ["Sold on", ticket.story?.sold_on],
                   ["Receipt", ticket.story?.receipt],
                   ["Vehicle's monitor", ticket.story?.monitor_report],
                   ["Seen", seen.join(", ")],
                   ["Remarks", ticket.inspection?.remarks],
                   ["State", plain(ticket.state)],
                   ["Why", ticket.state_reason],
                   ["Since", moment(ticket.state_since)],
                   ["Held until", moment(ticket.held_until)],
                   ["Place", ticket.place],
                   ["Taken in", moment(ticket.received_at)],
                   ["Earlier visit", ticket.previous],
                   ["Closed as", plain(ticket.closing)],
                   ["Recharge", ticket.needs_recharge ? "needed before it leaves" : ""],
                 ]));
}

function budget_table(finding, name, unit, factor) {
  const uncertainty = (u) => amount(u * factor, digits_of(finding.u * factor) + 1, unit);
  const line = ({quantity, value, u_input, sensitivity, u, share}) => element(
      "tr", {}, element("th", {scope: "row"}, quantity), element("td", {}, value ?? ""),
      element("td", {}, u_input), element("td", {}, sensitivity ?? ""), element("td", {}, uncertainty(u)),
      element("td", {}, share > 0 ? `${(100 * share).toFixed(1)} %` : ""));
  // A battery may be measured for the same thing again.
  const label = [name, finding.run, moment(finding.at)].filter(Boolean).join(", ");
  const heads = ["Quantity", "Value", "Its u", "Sensitivity", "Adds, k = 1", "Share"];
  const table = element(
      "table", {class: "budget"},
      element("thead", {}, element("tr", {}, ...heads.map((text) => element("th", {scope: "col"}, text)))),
      element("tbody", {}, ...finding.budget.map(line)),
      element(
          "tfoot", {},
          element(
              "tr", {}, element("th", {scope: "row", colspan: "4"}, "Combined, k = 1"),
              element("td", {}, uncertainty(finding.u)), element("td", {}, "100 %"))));
  return element(
      "details", {}, element("summary", {}, "Uncertainty budget"),
      element(
          "div",
          {class: "sideways", tabindex: "0", role: "region", "aria-label": `Uncertainty budget: ${label}`},
          table));
}

function finding_item(finding) {
  const [name, unit, factor] = measurands[finding.measurand] ?? [plain(finding.measurand), "", 1];
  const expanded = 2 * finding.u * factor;
  const digits = digits_of(expanded);
  const value = (finding.value * factor).toFixed(digits);
  return element(
      "div", {class: "item"},
      element(
          "p", {}, `${name}: `,
          element("span", {class: "amount"}, `${value} ± ${expanded.toFixed(digits)} ${unit}`), ", k = 2"),
      paragraph([finding.method, finding.conditions].filter(Boolean).join("; "), "quiet"),
      paragraph(`${finding.run ?? "inspection"}, ${moment(finding.at)}`, "quiet"),
      finding.budget?.length ? budget_table(finding, name, unit, factor) : null);
}

function points_of(samples) {
  const every = Math.ceil(samples.length / chart_points_max);
  return samples.filter((_, i) => i % every === 0).map((one) => [one.t_s, one.volts_v, one.amps_a]);
}

async function show_trace(run, said, parent) {
  try {
    set_text(said, `Reading ${run} …`);
    const trace = await read(`/api/v1/runs/${encodeURIComponent(run)}/trace`);
    chart ??= make_chart("the place of the run");
    parent.append(chart.node);
    chart.show({chart: points_of(trace.samples), cutoff_v: null}, `Numbers of ${run}`);
    set_text(said, trace.samples.length > 1 ? "" : `${run} has no trace.`);
  } catch (error) {
    set_text(said, error.message);
  }
}

function run_item(run) {
  const said = element("p", {class: "quiet", role: "status"});
  const item = element(
      "div", {class: "item"},
      element(
          "p", {}, `${run.run}: ${run.procedure}, version ${run.procedure_version}, at ${run.place}: `,
          element("span", {class: "amount"}, plain(run.outcome))),
      paragraph(run.end_reason),
      paragraph(run.consent ? `Consent to a ${run.consent.to}: ${run.consent.given_by}, ` +
                        `written down by ${run.consent.recorded_by}, ${moment(run.consent.at)}` : ""),
      paragraph(
          `${moment(run.started_at)}${run.ended_at ? ` to ${moment(run.ended_at)}` : ", going on"}`,
          "quiet"));
  const button = element(
      "button", {
        type: "button",
        "aria-label": `Show the chart of ${run.run}`,
        onclick: () => show_trace(run.run, said, item)
      },
      "Show the chart");
  item.append(button, said);
  return item;
}

function fault_item(fault) {
  return element(
      "div", {class: "item"}, element("p", {class: "amount"}, plain(fault.kind)), paragraph(fault.evidence),
      paragraph(`${fault.run ?? "inspection"}, ${moment(fault.at)}`, "quiet"));
}

function items(title, list, item, none) {
  return section(title, ...(list?.length ? list.map(item) : [paragraph(none, "quiet")]));
}

function about(seconds) {
  if (!(seconds > 0)) return "no place here can do it";
  return seconds < 7200 ? `about ${Math.round(seconds / 60)} min` : `about ${(seconds / 3600).toFixed(1)} h`;
}

function ahead_part(ahead) {
  if (!ahead?.length) return null;
  const bay_s = ahead.filter(({at}) => at === "bay").reduce((sum, {expected_s}) => sum + expected_s, 0);
  const item = ({procedure, at, expected_s, why}) => element(
      "li", {}, `${procedure} at a ${at === "bay" ? "bay" : "charging place"}, ${about(expected_s)}. ${why}`);
  return section(
      "What comes, if it turns out to be sound", element("ol", {}, ...ahead.map(item)),
      paragraph(
          `${bay_s > 0 ? `Bay time: ${about(bay_s)}. ` : ""}Any other procedure may be started instead.`,
          "quiet"));
}

export async function open_ticket(ticket) {
  let page;
  try {
    page = await read(`/api/v1/tickets/${encodeURIComponent(ticket)}`);
    if (!page.ticket || !page.battery) throw new Error("The bench's answer can't be read.");
  } catch (error) {
    return say(`${ticket}: ${error.message}`);
  }
  const content = element(
      "div", {class: "ticket_page"}, grade_part(page), ahead_part(page.ahead), ticket_part(page),
      items("Faults", page.faults, fault_item, "None found."),
      items("Findings", page.findings, finding_item, "Nothing measured yet."),
      items("Runs", page.runs, run_item, "No run yet."));
  open_dialog({title: `Ticket ${ticket}`, content: [content], buttons: [], wide: true, cancel: "Close"});
}
