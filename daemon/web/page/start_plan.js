// SPDX-License-Identifier: Apache-2.0
// What a procedure would do with one battery at one place: time, charge, energy, steps, what is in the way.
import {duration, number} from "/amounts.js";
import {element, facts, said} from "/dom.js";
import {t} from "/words.js";

const moved = (ah, wh) => ah > 0 ? t("ah_and_wh", {ah: number(ah, 1), wh: number(wh, 0)}) : t("nothing");

function step_item(step) {
  const often = step.runs_max > 1 ? t("up_to_times", {times: step.runs_max}) : "";
  const notes = [step.estimated, step.limited].filter(Boolean).map((text) => element("li", {}, said(text)));
  const ends = step.ends.map((text) => element("li", {}, said(text)));
  return element("li", {}, said(step.does), often, element("ul", {class: "quiet"}, ...ends, ...notes));
}

function obstacle_item(obstacle) {
  const text = [obstacle.what, obstacle.mend].filter(Boolean).join(": ");
  return element("li", {}, t("in_the_way"), " ", said(text));
}

// The elements that show it.
export function plan_part(plan) {
  const obstacles = plan.obstacles.map(obstacle_item);
  if (plan.out_of_turn) obstacles.unshift(element("li", {}, t("not_yet"), " ", said(plan.out_of_turn)));
  const steps = element(
      "details", {}, element("summary", {}, t("its_steps")), element("ol", {}, ...plan.steps.map(step_item)));
  return [
    ...(obstacles.length ? [element("ul", {class: "obstacles"}, ...obstacles)] : []),
    facts([
      [t("expected_time"), duration(plan.expected_s)],
      [t("longest_time"), duration(plan.longest_s)],
      [t("takes_out"), moved(plan.drawn_max_ah, plan.drawn_max_wh)],
      [t("puts_in"), moved(plan.given_max_ah, plan.given_max_wh)],
      [t("attendance"), plan.attended ? t("somebody_must_be_there") : ""],
    ]),
    steps,
  ];
}
