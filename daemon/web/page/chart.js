// SPDX-License-Identifier: Apache-2.0
// Volts and amps over time on a canvas, with the same numbers as a sentence and as a table.
import {duration, number} from "/amounts.js";
import {element, set_hidden, set_text} from "/dom.js";
import {t} from "/words.js";

const dark = matchMedia("(prefers-color-scheme: dark)");

function range(values, least_span) {
  let low = Math.min(...values);
  let high = Math.max(...values);
  if (high - low < least_span) {
    const middle = (low + high) / 2;
    low = middle - least_span / 2;
    high = middle + least_span / 2;
  }
  const air = (high - low) * 0.08;
  return {low: low === 0 ? 0 : low - air, high: high === 0 ? 0 : high + air};
}

const present = (points, column) =>
    points.map((point) => point[column]).filter((value) => typeof value === "number");

export function sentence(points, cutoff_v) {
  const volts = present(points, 1);
  const amps = present(points, 2);
  if (points.length < 2 || volts.length === 0) return "";
  const span = duration(points.at(-1)[0] - points[0][0]);
  const parts = [t("chart_volts", {span, from: number(volts[0], 2), to: number(volts.at(-1), 2)})];
  if (amps.length) parts.push(t("chart_amps", {amps: number(amps.at(-1), 2)}));
  if (typeof cutoff_v === "number") parts.push(t("chart_cutoff", {volts: number(cutoff_v, 2)}));
  return `${parts.join(", ")}.`;
}

// Draws one column as a line, broken where a reading is missing.
function draw_line(pen, points, column, to_x, to_y) {
  pen.beginPath();
  let is_down = false;
  for (const point of points) {
    const value = point[column];
    if (typeof value !== "number") {
      is_down = false;
    } else {
      if (is_down)
        pen.lineTo(to_x(point[0]), to_y(value));
      else
        pen.moveTo(to_x(point[0]), to_y(value));
      is_down = true;
    }
  }
  pen.stroke();
}

function draw(canvas, points, cutoff_v) {
  const box = canvas.getBoundingClientRect();
  if (box.width === 0) return;
  const ratio = window.devicePixelRatio || 1;
  canvas.width = Math.round(box.width * ratio);
  canvas.height = Math.round(box.height * ratio);
  const style = getComputedStyle(canvas);
  const colour = (name) => style.getPropertyValue(name).trim();
  const pen = canvas.getContext("2d");
  pen.scale(ratio, ratio);
  pen.font = `12px ${style.fontFamily}`;
  const area = {left: 46, right: box.width - 40, top: 18, bottom: box.height - 20};
  const has_cutoff = typeof cutoff_v === "number";
  const volts = range([...present(points, 1), ...(has_cutoff ? [cutoff_v] : [])], 0.2);
  const amps = range([0, ...present(points, 2)], 1);
  const first = points[0][0];
  const last = Math.max(points.at(-1)[0], first + 1);
  const to_x = (t) => area.left + (area.right - area.left) * (t - first) / (last - first);
  const scale = (r) => (value) => area.bottom - (area.bottom - area.top) * (value - r.low) / (r.high - r.low);
  const volts_y = scale(volts);
  const amps_y = scale(amps);

  pen.strokeStyle = colour("--line");
  pen.lineWidth = 1;
  for (const share of [0, 0.5, 1]) {
    const y = Math.round(area.top + (area.bottom - area.top) * share) + 0.5;
    pen.beginPath();
    pen.moveTo(area.left, y);
    pen.lineTo(area.right, y);
    pen.stroke();
    pen.fillStyle = colour("--accent");
    pen.textAlign = "right";
    pen.fillText(number(volts.high - (volts.high - volts.low) * share, 2), area.left - 6, y + 4);
    pen.fillStyle = colour("--quiet");
    pen.textAlign = "left";
    pen.fillText(number(amps.high - (amps.high - amps.low) * share, 0), area.right + 6, y + 4);
  }
  pen.fillStyle = colour("--accent");
  pen.textAlign = "left";
  pen.fillText(t("volts_solid"), area.left, 10);
  pen.fillStyle = colour("--quiet");
  pen.textAlign = "right";
  pen.fillText(t("amps_dotted"), area.right, 10);
  pen.textAlign = "left";
  pen.fillText(duration(first), area.left, box.height - 5);
  pen.textAlign = "right";
  pen.fillText(duration(last), area.right, box.height - 5);

  pen.strokeStyle = colour("--quiet");
  pen.lineWidth = 1.25;
  pen.setLineDash([2, 3]);
  draw_line(pen, points, 2, to_x, amps_y);
  if (has_cutoff) {
    pen.strokeStyle = colour("--ink");
    pen.setLineDash([7, 4]);
    pen.beginPath();
    pen.moveTo(area.left, volts_y(cutoff_v));
    pen.lineTo(area.right, volts_y(cutoff_v));
    pen.stroke();
    pen.fillStyle = colour("--ink");
    pen.fillText(t("cutoff_line", {volts: number(cutoff_v, 2)}), area.right - 4, volts_y(cutoff_v) - 4);
  }
  pen.setLineDash([]);
  pen.strokeStyle = colour("--accent");
  pen.lineWidth = 2;
  draw_line(pen, points, 1, to_x, volts_y);
}

function table_rows(points) {
  const cell = (value, digits) => element("td", {}, typeof value === "number" ? number(value, digits) : "");
  return points.map(([t, v, a]) => element("tr", {}, cell(t, 0), cell(v, 3), cell(a, 2)));
}

export function make_chart(name) {
  let points = [];
  let cutoff_v = null;
  const canvas = element("canvas", {role: "img"});
  const caption = element("p", {class: "caption"});
  const body = element("tbody");
  const head = element(
      "tr", {},
      ...[t("seconds_head"), t("volts"), t("amps")].map((text) => element("th", {scope: "col"}, text)));
  const summary = element("summary", {}, t("numbers"));
  const details = element(
      "details", {}, summary, caption,
      element(
          "div", {class: "numbers", tabindex: "0", role: "region", "aria-label": t("readings_at", {name})},
          element("table", {}, element("thead", {}, head), body)));
  const node = element("figure", {class: "chart", hidden: true}, canvas, details);
  const redraw = () => {
    if (points.length > 1 && !node.hidden) draw(canvas, points, cutoff_v);
  };
  const fill = () => {
    if (details.open) body.replaceChildren(...table_rows(points));
  };
  details.addEventListener("toggle", fill);
  dark.addEventListener("change", redraw);
  new ResizeObserver(redraw).observe(node);
  return {
    node,
    // `place` is a place or anything else with its `chart` and `cutoff_v`.
    show(place, title = place.activity === "running" ? t("numbers") : t("numbers_of_last_run")) {
      points = place.chart ?? [];
      cutoff_v = place.cutoff_v;
      const text = sentence(points, cutoff_v);
      set_hidden(node, text === "");
      if (text === "") return;
      if (canvas.getAttribute("aria-label") !== text) canvas.setAttribute("aria-label", text);
      set_text(caption, text);
      set_text(summary, title);
      redraw();
      fill();
    },
  };
}
