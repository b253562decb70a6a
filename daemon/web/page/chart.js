// SPDX-License-Identifier: Apache-2.0
// Volts and amps over time on a canvas, with the same numbers as a sentence and as a table.
import {duration, number} from "/amounts.js";
import {draw} from "/chart_draw.js";
import {present, thinned} from "/chart_scale.js";
import {zoom_buttons, zoom_by_pointer} from "/chart_zoom.js";
import {element, set_hidden, set_text} from "/dom.js";
import {t} from "/words.js";

const rows_max = 400;
const dark = matchMedia("(prefers-color-scheme: dark)");

// When the end is foretold, in seconds of the run; a forecast counts from the moment of its full current.
function band_of(place, points) {
  const {forecast} = place;
  if (!forecast || points.length === 0) return null;
  const full_from = (place.elapsed_s ?? points.at(-1)[0]) - forecast.after_min * 60;
  return {
    from: full_from + forecast.earliest_min * 60,
    likely: full_from + forecast.likely_min * 60,
    to: full_from + forecast.latest_min * 60,
    share: forecast.coverage_1,
  };
}

function sentence(points, cutoff_v, band) {
  const volts = present(points, 1);
  const amps = present(points, 2);
  if (points.length < 2 || volts.length === 0) return "";
  const span = duration(points.at(-1)[0] - points[0][0]);
  const parts = [t("chart_volts", {span, from: number(volts[0], 2), to: number(volts.at(-1), 2)})];
  if (amps.length) parts.push(t("chart_amps", {amps: number(amps.at(-1), 2)}));
  if (typeof cutoff_v === "number") parts.push(t("chart_cutoff", {volts: number(cutoff_v, 2)}));
  if (!band) return `${parts.join(", ")}.`;
  const times = Object.fromEntries(["from", "likely", "to"].map((name) => [name, duration(band[name])]));
  const share = number(100 * (band.share ?? 0), 0);
  return `${parts.join(", ")}. ${t("chart_forecast", {...times, share})}`;
}

function table_rows(points) {
  const cell = (value, digits) => element("td", {}, typeof value === "number" ? number(value, digits) : "");
  return points.map(([t, v, a]) => element("tr", {}, cell(t, 0), cell(v, 3), cell(a, 2)));
}

function make_table(name) {
  const body = element("tbody");
  const heads = [t("seconds_head"), t("volts"), t("amps")];
  const head = element("tr", {}, ...heads.map((text) => element("th", {scope: "col"}, text)));
  const node = element(
      "div", {class: "numbers", tabindex: "0", role: "region", "aria-label": t("readings_at", {name})},
      element("table", {}, element("thead", {}, head), body));
  return {node, body};
}

function nearest(points, seconds) {
  let best = points[0];
  for (const point of points) {
    if (Math.abs(point[0] - seconds) < Math.abs(best[0] - seconds)) best = point;
  }
  return best;
}

function reading(points, choice) {
  if (!choice || points.length === 0) return "";
  const [one, other] = choice;
  if (one !== other) {
    const [from, to] = [Math.min(one, other), Math.max(one, other)];
    return t("zoomed", {from: duration(from), to: duration(to)});
  }
  const [at, volts, amps] = nearest(points, one);
  const shown = (value, digits) => typeof value === "number" ? number(value, digits) : "–";
  return t("chart_at", {time: duration(at), volts: shown(volts, 3), amps: shown(amps, 2)});
}

class Chart {
  constructor(name) {
    this.points = [];
    this.part = null;
    this.choice = null;
    const ways = {view: () => this.view(), whole: () => this.whole(), set: (part) => this.show_part(part)};
    this.canvas = element("canvas", {role: "img"});
    this.under = element("p", {class: "under"});
    this.caption = element("p", {class: "caption"});
    this.table = make_table(name);
    this.summary = element("summary", {}, t("numbers"));
    const bar = element(
        "div", {class: "zoom", role: "group", "aria-label": t("zoom_of", {name})}, ...zoom_buttons(ways));
    const hint = element("p", {class: "hint"}, t("chart_drag"));
    this.details =
        element("details", {}, this.summary, this.caption, bar, hint, this.table.node);
    this.node = element("figure", {class: "chart", hidden: true}, this.canvas, this.under, this.details);
    zoom_by_pointer(this.canvas, {...ways, choose: (choice) => this.choose(choice)});
    this.details.addEventListener("toggle", () => this.fill());
    dark.addEventListener("change", () => this.redraw());
    new ResizeObserver(() => this.redraw()).observe(this.node);
  }

  whole() {
    const from = this.points[0][0];
    return {from, to: Math.max(this.points.at(-1)[0], this.band?.to ?? 0, from + 1)};
  }

  view() {
    return this.part ?? this.whole();
  }

  // The points that are shown, without the neighbours that lines need.
  points_in_view() {
    const {from, to} = this.view();
    return this.points.filter((point) => point[0] >= from && point[0] <= to);
  }

  show_part(part) {
    this.part = part;
    this.choice = null;
    this.redraw();
    this.fill();
  }

  choose(choice) {
    this.choice = choice;
    this.redraw();
  }

  redraw() {
    if (this.points.length < 2 || this.node.hidden) return;
    const {points, cutoff_v, band, choice} = this;
    draw(this.canvas, {points, view: this.view(), cutoff_v, band, choice});
    const span = this.part ?
        t("zoomed", {from: duration(this.part.from), to: duration(this.part.to)}) :
        "";
    set_text(this.under, reading(this.points_in_view(), choice) || span);
  }

  fill() {
    if (this.details.open)
      this.table.body.replaceChildren(...table_rows(thinned(this.points_in_view(), rows_max)));
  }

  // `place` is a place or anything else with its `chart` and `cutoff_v`.
  show(place, title = place.activity === "running" ? t("numbers") : t("numbers_of_last_run")) {
    const points = place.chart ?? [];
    // Another run begins: what was looked at closely is not in it.
    if (this.points.length && !(points.at(-1)?.[0] >= this.points.at(-1)[0])) this.part = null;
    this.points = points;
    this.cutoff_v = place.cutoff_v;
    this.band = band_of(place, points);
    const text = sentence(points, this.cutoff_v, this.band);
    set_hidden(this.node, text === "");
    if (text === "") return;
    if (this.canvas.getAttribute("aria-label") !== text) this.canvas.setAttribute("aria-label", text);
    set_text(this.caption, text);
    set_text(this.summary, title);
    this.redraw();
    this.fill();
  }
}

export const make_chart = (name) => new Chart(name);
