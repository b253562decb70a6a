// SPDX-License-Identifier: Apache-2.0
// All that is known of one ticket, in the dialog: as it was when the dialog was opened.
import {acid_words} from "/acid.js";
import {day, degrees, moment, number} from "/amounts.js";
import {change, read, read_ticket, say_error, ticket_path, with_name, with_view} from "/api.js";
import {rated, signs} from "/battery_form.js";
import {make_chart} from "/chart.js";
import {open_dialog} from "/dialog.js";
import {element, facts, said, section, set_error, set_text} from "/dom.js";
import {finding_item, run_and_moment} from "/findings.js";
import {override_part, standing_override} from "/override.js";
import {who} from "/people.js";
import {photos_part} from "/photos.js";
import {sentence} from "/said.js";
import {bench_language, t, word_of} from "/words.js";

let chart = null;

const paragraph = (content, name = null) => content ? element("p", {class: name}, content) : null;
const saying = (phrases, text, name = null) => paragraph(sentence(phrases, text), name);

function grade_part(page) {
  const {grade, ticket} = page;
  if (!grade) {
    const why = saying(ticket.said, ticket.state_reason, "quiet");
    return section(t("grade"), element("p", {}, t("not_graded_yet")), why);
  }
  const next_why = sentence(grade.said?.next_why, grade.next_why);
  const next = [word_of("procedure", grade.next_procedure), next_why].filter(Boolean);
  const next_words = next.flatMap((one) => [one, ". "]).slice(0, -1);
  const rule_item = (rule) => element("li", {}, sentence(rule.said, rule.text));
  const letter = page.letter ?? grade.letter;
  const given = standing_override(page);
  const means = bench_language ? paragraph(word_of("grade", letter)) : null;
  const of_two = given ?
      [
        element("p", {}, t("set_by_two"), " ", said(given.why)),
        paragraph(t("own_letter_is", {own: grade.letter}))
      ] :
      [];
  const href = `/api/v1/tickets/${encodeURIComponent(ticket.ticket)}/certificate.pdf`;
  return section(
      t("grade"),
      element(
          "div", {class: "verdict"}, element("span", {class: "letter"}, letter),
          element("div", {}, means, ...of_two, saying(grade.said?.reason, grade.reason))),
      facts([
        [t("what_to_do"), said(((given ?? grade).disposition ?? "").replaceAll("_", " "))],
        [t("next"), next.length ? element("span", {}, ...next_words) : ""],
        [t("second_life"), said(grade.second_life)],
        [t("warranty"), sentence(grade.said?.warranty, grade.warranty)],
      ]),
      ...(grade.flags ?? []).map((flag, i) => saying(grade.said?.flags[i], flag)),
      element("ul", {}, ...(grade.rules ?? []).map(rule_item)),
      paragraph(`${grade.policy}, Leadwright ${grade.software}, ${moment(grade.at)}`, "quiet"),
      element("p", {}, element("a", {href, target: "_blank", rel: "noopener"}, t("certificate"))));
}

// What the vehicle's monitor said and reported.
function monitor_words(story) {
  const {soc_1 = null, age_days = null, battery_degc = null, reset_on = null} = story?.monitor ?? {};
  return [
    story?.monitor_report,
    soc_1 === null ? null : `${number(100 * soc_1, 0)} %`,
    age_days === null ? null : t("days_old", {days: number(age_days, 0)}),
    battery_degc === null ? null : degrees(battery_degc),
    reset_on === null ? null : t("told_of_change", {day: day(reset_on)}),
  ].filter(Boolean).join("; ");
}

function more_of(page) {
  const {ticket, state} = page.ticket;
  const button = (label, onclick) => element("button", {type: "button", onclick}, label);
  const receipt = () => with_view("/receipt.js", (view) => view.open_receipt(ticket));
  const inspect = () =>
      with_view("/inspection.js", (view) => view.open_inspection(page, () => open_ticket(ticket)));
  const take_up = async () => {
    try {
      await change(ticket_path(ticket, "recheck"));
      await open_ticket(ticket);
    } catch (error) {
      say_error(error, ticket);
    }
  };
  return [
    button(t("fitting_button"), () => with_view("/fitting.js", (view) => view.open_fitting(page))),
    button(t("receipt_title"), receipt),
    ...(state === "closed" ? [] : [button(t("inspect"), () => with_name(inspect))]),
    ...(state === "held" ? [button(t("take_up_again"), () => with_name(take_up))] : []),
  ];
}

// Its size and its posts against what its vehicle asks for, as far as somebody looked.
function fit_words(fit) {
  return (fit ?? []).filter(({outcome}) => outcome !== "not_checked").map(
      ({of, outcome}) => `${word_of("fit_of", of)}: ${word_of("fit_outcome", outcome)}`).join("; ");
}

// "right, tapered, large"
const post_words = ({plus_at, post}) =>
    [word_of("side", plus_at), word_of("post", post)].filter(Boolean).join(", ");

function ticket_part(page) {
  const {ticket, battery} = page;
  const seen = signs.filter((sign) => ticket.inspection?.[sign]).map((sign) => word_of("sign", sign));
  return section(
      t("battery_and_story"), facts([
        [t("serial"), battery.serial],
        [t("battery"), battery.battery],
        [t("chemistry"), word_of("chemistry", battery.chemistry)],
        [t("cells"), battery.cells],
        [t("cold_cranking"), rated(battery, "cca_a", "A")],
        [t("reserve_capacity"), rated(battery, "reserve_capacity_min", "min")],
        [t("capacity_20h"), rated(battery, "c20_ah", "Ah")],
        [t("size_code"), battery.size_code],
        [t("made"), day(battery.manufactured_on)],
        [t("complaint"), ticket.story?.complaint],
        [t("sold_on"), day(ticket.story?.sold_on)],
        [t("receipt"), ticket.story?.receipt],
        [t("monitor"), monitor_words(ticket.story)],
        [t("seen"), seen.join(", ")],
        [t("weight"), ticket.inspection?.weight_kg],
        [t("acid_read"), acid_words(ticket.inspection?.acid)],
        [t("plus_post"), post_words(ticket.inspection ?? {})],
        [t("fit_for_vehicle"), fit_words(page.fit)],
        [t("remarks"), ticket.inspection?.remarks],
        [t("state"), word_of("state", ticket.state)],
        [t("why"), ticket.state === "graded" ? "" : sentence(ticket.said, ticket.state_reason)],
        [t("since"), moment(ticket.state_since)],
        [t("held_until"), moment(ticket.held_until)],
        [t("place"), ticket.place],
        [t("taken_in"), moment(ticket.received_at)],
        [t("promised"), moment(ticket.promised_at)],
        [t("earlier_visit"), ticket.previous],
        [t("closed_as"), word_of("closing", ticket.closing)],
        [t("recharge"), ticket.needs_recharge ? t("needed_before_it_leaves") : ""],
      ]),
      element("div", {class: "buttons"}, ...more_of(page)));
}

const points_of = (samples) => samples.map((one) => [one.t_s, one.volts_v, one.amps_a]);

async function show_trace({run, ends_at_v}, status, parent) {
  try {
    set_text(status, t("reading", {run}));
    const trace = await read(`/api/v1/runs/${encodeURIComponent(run)}/trace`);
    chart ??= make_chart(t("place_of_the_run"));
    parent.append(chart.node);
    chart.show({chart: points_of(trace.samples), cutoff_v: ends_at_v}, t("numbers_of", {run}));
    set_text(status, trace.samples.length > 1 ? "" : t("no_trace", {run}));
  } catch (error) {
    set_error(status, error);
  }
}

function run_words(run) {
  return t("run_words", {
    run: run.run,
    procedure: word_of("procedure", run.procedure),
    version: run.procedure_version,
    place: run.place
  });
}

function run_item(page, run) {
  const status = element("p", {class: "quiet", role: "status"});
  const {consent} = run;
  const agreed = consent ?
      t("consent_words",
        {
          to: consent.to,
          by: who(page, consent.given_by),
          clerk: who(page, consent.recorded_by),
          moment: moment(consent.at)
        }) :
      "";
  const from = moment(run.started_at);
  const span = run.ended_at ? t("from_to", {from, to: moment(run.ended_at)}) : t("going_on", {from});
  const item = element(
      "div", {class: "item"},
      element(
          "p", {}, `${run_words(run)} `,
          element("span", {class: "amount"}, word_of("run_outcome", run.outcome))),
      saying(run.said, run.end_reason), paragraph(agreed), paragraph(span, "quiet"));
  const button = element(
      "button", {
        type: "button",
        "aria-label": t("show_chart_of", {run: run.run}),
        onclick: () => show_trace(run, status, item)
      },
      t("show_chart"));
  item.append(button, status);
  return item;
}

function fault_item(fault) {
  return element(
      "div", {class: "item"}, element("p", {class: "amount"}, word_of("fault", fault.kind)),
      saying(fault.said, fault.evidence), paragraph(run_and_moment(fault), "quiet"));
}

function items(title, list, item, none) {
  return section(title, ...(list?.length ? list.map(item) : [paragraph(none, "quiet")]));
}

function about(seconds) {
  if (!(seconds > 0)) return t("no_place_can");
  return seconds < 7200 ? t("about_min", {min: Math.round(seconds / 60)}) :
                          t("about_h", {h: number(seconds / 3600, 1)});
}

function ahead_part(ahead) {
  if (!ahead?.length) return null;
  const bay_s = ahead.filter(({at}) => at === "bay").reduce((sum, {expected_s}) => sum + expected_s, 0);
  const item = ({procedure, at, expected_s, why, said: phrases}) => element(
      "li", {}, word_of("procedure", procedure),
      ` ${word_of("at_kind", at === "bay" ? "bay" : "charging")}, ${about(expected_s)}. `,
      sentence(phrases, why));
  const bay_time = bay_s > 0 ? `${t("bay_time", {time: about(bay_s)})} ` : "";
  return section(
      t("what_comes"), element("ol", {}, ...ahead.map(item)), paragraph(bay_time + t("any_other"), "quiet"));
}

export async function open_ticket(ticket) {
  let page;
  try {
    page = await read_ticket(ticket);
  } catch (error) {
    return say_error(error, ticket);
  }
  const content = element(
      "div", {class: "ticket_page"}, grade_part(page), override_part(page, () => open_ticket(ticket)),
      ahead_part(page.ahead), ticket_part(page),
      items(t("faults"), page.faults, fault_item, t("none_found")),
      items(t("findings"), page.findings, finding_item, t("nothing_measured")),
      items(t("runs"), page.runs, (run) => run_item(page, run), t("no_run_yet")),
      photos_part(page, () => open_ticket(ticket)));
  open_dialog(
      {title: t("ticket_number", {ticket}), content: [content], buttons: [], wide: true, cancel: t("close")});
}
