// SPDX-License-Identifier: Apache-2.0
// The bench's codes and numbers about a new battery, as sentences.
import {day, number, stated} from "/amounts.js";
import {element, facts} from "/dom.js";
import {count_of, t, word_of} from "/words.js";

const percent = (share) => number(100 * share, 0);

function verdict_text({verdict, charge}) {
  if (verdict !== "charge_first") return word_of("verdict", verdict);
  if (typeof charge.needed_ah !== "number") return t("charge_first_unknown");
  const ah = number(charge.needed_ah, 0);
  if (typeof charge.minutes !== "number") return t("charge_first", {ah});
  return t("charge_first_minutes", {ah, minutes: number(charge.minutes, 0)});
}

function charge_text({charge}) {
  if (typeof charge.soc_1 !== "number") return t("charge_not_known");
  const parts = [t("charge_is", {soc: percent(charge.soc_1), u: percent(2 * charge.u_1)})];
  if (typeof charge.needed_ah === "number")
    parts.push(t("to_full", {ah: number(charge.needed_ah, 1), u: number(2 * charge.needed_u_ah, 1)}));
  parts.push(t("least_charge", {soc: percent(charge.soc_min_1)}));
  return parts.join(" ");
}

function age_text({age}) {
  if (typeof age.months !== "number") return t("age_not_known");
  const text = count_of("age", age.months, {months: age.months, made: day(age.made)});
  return age.is_old ? `${text} ${t("age_is_old", {months: age.oldest_months})}` : text;
}

function fit_table(rows) {
  const line = ({of, outcome}) => element(
      "tr", {}, element("th", {scope: "row"}, word_of("fit_of", of)),
      element("td", {}, word_of("fit_outcome", outcome)));
  return element(
      "table", {class: "budget"}, element("caption", {}, t("fit_caption")),
      element("tbody", {}, ...rows.map(line)));
}

function monitor_part(battery, made) {
  const cca = battery.cca_a ? `${stated(battery.cca_a)} A ${(battery.cca_standard ?? "").toUpperCase()}` : "";
  const known = facts([
    [t("capacity_20h"), battery.c20_ah ? `${stated(battery.c20_ah)} Ah` : ""],
    [t("cold_cranking"), cca.trim()],
    [t("chemistry"), word_of("chemistry", battery.chemistry)],
    [t("made"), day(made)],
  ]);
  return [element("h3", {}, t("tell_the_monitor")), element("p", {}, t("monitor_procedure")), known];
}

function after_part({after}, sent) {
  const lines = [];
  if (after.monitor) lines.push(word_of("monitor_says", after.monitor));
  if (typeof after.soc_apart_1 === "number")
    lines.push(t("soc_apart", {points: percent(Math.abs(after.soc_apart_1))}));
  if (after.running) lines.push(word_of("running", after.running, {volts: stated(sent.running_v)}));
  if (after.drain) lines.push(word_of("drain", after.drain, {ma: number(1000 * sent.drain_a, 0)}));
  if (typeof after.half_empty_days === "number")
    lines.push(t("half_empty", {days: number(after.half_empty_days, after.half_empty_days < 10 ? 1 : 0)}));
  if (lines.length === 0) return [];
  return [
    element("h3", {}, t("after_fitting")),
    element("ul", {}, ...lines.map((text) => element("li", {}, text))),
  ];
}

// What to show for an answer of the bench, the request it answers and the battery's label.
export function answer_parts(answer, request, battery) {
  const unchecked =
      answer.fit.filter(({outcome}) => outcome === "not_checked" || outcome === "other_standard");
  return [
    element("h3", {}, t("answer_title")),
    element("p", {class: "conclusion"}, verdict_text(answer)),
    element("p", {}, charge_text(answer)),
    element("p", {}, age_text(answer)),
    fit_table(answer.fit),
    ...(unchecked.length ?
            [element("p", {}, count_of("unchecked", unchecked.length, {n: unchecked.length}))] :
            []),
    element("p", {}, t("look_yourself")),
    ...monitor_part(battery, answer.age.made),
    ...after_part(answer, request.after ?? {}),
    element("p", {class: "quiet"}, t("fitting_cautions")),
  ].filter(Boolean);
}
