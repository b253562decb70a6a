// SPDX-License-Identifier: Apache-2.0
// What a policy would decide, from a file of `leadwright rehearse returns --json`: read here, sent nowhere.
import {number, whole} from "/amounts.js";
import {open_dialog} from "/dialog.js";
import {element, field, group} from "/dom.js";
import {plot_of} from "/plot.js";
import {t} from "/words.js";

const hour_s = 3600;
const command = [
  "leadwright", "rehearse", "returns", "--policy", "store_claim", "--count", "200", "--seed", "1", "--json",
  ">", "rehearsal.json"
].join(" ");
const percent = (share, decimals) => `${number(100 * share, decimals)} %`;

const is_rehearsal = (found) => typeof found?.policy === "string" && typeof found.costs === "object" &&
    Array.isArray(found.acceptance_by_distance) && Array.isArray(found.queue);

function table_of(caption, heads, rows) {
  const head = element("tr", {}, ...heads.map((text) => element("th", {scope: "col"}, text)));
  const line = ([first, ...rest]) => element(
      "tr", {}, element("th", {scope: "row"}, first), ...rest.map((text) => element("td", {}, text)));
  return element(
      "table", {}, element("caption", {}, caption), element("thead", {}, head),
      element("tbody", {}, ...rows.map(line)));
}

function share_row(what, {count, of, share, wilson_95_low, wilson_95_high}) {
  const part = typeof share === "number" ? percent(share, 2) : "";
  return [
    what, t("count_of", {count: whole(count), of: whole(of)}), part,
    `${percent(wilson_95_low, 2)} – ${percent(wilson_95_high, 2)}`
  ];
}

function decisions(found) {
  return table_of(t("rehearsed_decisions"), [t("of_the_truth"), t("returns"), t("share"), t("wilson_95")], [
    share_row(t("bad_accepted"), found.false_accepts),
    share_row(t("good_rejected"), found.false_rejects),
    share_row(t("undecided_all"), found.undecided),
    share_row(t("undecided_consent"), found.undecided_without_consent),
  ]);
}

function costs(found) {
  const ways = [found.costs, found.full_sequence].filter(Boolean);
  const heads = [t("cost"), t("this_policy"), t("full_sequence")].slice(0, ways.length + 1);
  const row = (what, per, of, decimals) => [what, ...ways.map((each) => number(of(each) / per, decimals))];
  return table_of(t("mean_cost"), heads, [
    row(t("cost_bay_h"), hour_s, (each) => each.bay_s, 2),
    row(t("cost_charging_h"), hour_s, (each) => each.charging_place_s, 1),
    row(t("cost_hands_min"), 60, (each) => each.hands_on_s, 0),
    row(t("cost_verdict_h"), hour_s, (each) => each.to_verdict_s, 1),
    row(t("cost_same_day"), 0.01, (each) => each.same_day.share, 0),
  ]);
}

// The mean of a class stands at its middle; one that is open to a side has none, and is in the table alone.
function acceptance_points(classes, least, most) {
  const closed = classes.filter((one) => one.accepted.of > 0 && one[least] !== null && one[most] !== null);
  return closed.map(({accepted, [least]: from, [most]: to}) => ({
                      x: (from + to) / 2,
                      y: 100 * accepted.share,
                      low: 100 * accepted.wilson_95_low,
                      high: 100 * accepted.wilson_95_high
                    }));
}

function acceptance_table(caption, classes, least, most, shown) {
  const bounds = (one) => t("class_from_to", {
    from: one[least] === null ? "…" : shown(one[least]),
    to: one[most] === null ? "…" : shown(one[most])
  });
  const rows = classes.filter(({accepted}) => accepted.of > 0).map((one) => [
    bounds(one), whole(one.accepted.count), whole(one.undecided), whole(one.rejected)
  ]);
  return table_of(caption, [t("class"), t("accepted"), t("undecided"), t("rejected")], rows);
}

function acceptance(title, axis, classes, least, most, {scale, shown}) {
  const points = acceptance_points(classes, least, most).map((one) => ({...one, x: one.x * scale}));
  return group(
      title, plot_of({title, points, x_label: axis, y_label: t("accepted_percent"), y_most: 100, mark: 0}),
      element(
          "details", {}, element("summary", {}, t("in_numbers")),
          acceptance_table(title, classes, least, most, shown)));
}

function queues(found) {
  const one = ({bays, charging_places, waiting_mean, waiting_most, wait_mean_s, keeps_up}) => [
    t("house", {bays, places: charging_places}), keeps_up ? number(waiting_mean, 1) : t("grows"),
    keeps_up ? whole(waiting_most) : "", keeps_up ? number(wait_mean_s / hour_s, 1) : ""
  ];
  return table_of(
      t("queue_of_houses", {a_day: number(found.arrivals_a_day, 0)}),
      [t("house_head"), t("waiting_mean"), t("waiting_most"), t("waits_h")], found.queue.map(one));
}

function view_of(found) {
  return [
    element("p", {class: "conclusion", tabindex: "-1"}, t("rehearsal_of", {
              policy: found.policy,
              count: whole(found.count),
              seed: found.seed,
              mix: found.mix
            })),
    decisions(found),
    acceptance(
        t("acceptance_by_minutes"), t("distance_percent"), found.acceptance_by_distance, "distance_least",
        "distance_most", {scale: 100, shown: (value) => percent(value, 0)}),
    acceptance(
        t("acceptance_by_load"), t("load_margin_v"), found.acceptance_by_load_margin, "load_margin_least_v",
        "load_margin_most_v", {scale: 1, shown: (value) => `${number(value, 1)} V`}),
    costs(found),
    queues(found),
    group(
        t("rests_on"),
        element("ul", {}, ...found.rests_on.map((text) => element("li", {lang: "en"}, text)))),
  ];
}

async function read(file) {
  let found = null;
  try {
    found = JSON.parse(await file.text());
  } catch {
    throw new Error(t("rehearsal_not_json", {file: file.name}));
  }
  if (!is_rehearsal(found)) throw new Error(t("rehearsal_not_one", {file: file.name}));
  return found;
}

export function open_rehearsals() {
  const chosen =
      element("input", {type: "file", accept: ".json,application/json", name: "rehearsal", required: true});
  const shown = element("div", {class: "rehearsal", "aria-live": "polite"});
  open_dialog({
    title: t("rehearsals"),
    content: [
      element("p", {}, t("rehearsals_about")),
      element("p", {}, element("code", {}, command)),
      field(t("rehearsal_file"), chosen, t("rehearsal_stays")),
      shown,
    ],
    buttons: [{label: t("show_rehearsal"), value: "show", strong: true}],
    act: async () => {
      shown.replaceChildren(...view_of(await read(chosen.files[0])));
      shown.firstChild.focus();
    },
    cancel: t("close"),
    wide: true,
    stays: true,
  });
}
