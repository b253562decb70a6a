// SPDX-License-Identifier: Apache-2.0
// Draws a chart on its canvas: volts, amps, the cut-off line, when the end is foretold, what is being chosen.
import {duration, number} from "/amounts.js";
import {marks, present, range_of, thinned, time_marks, within} from "/chart_scale.js";
import {t} from "/words.js";

const letter_px = 7;

// Where the axes lie in a box of this size.
export const area_of = (box) => ({left: 46, right: box.width - 40, top: 18, bottom: box.height - 20});

// One column as a line, broken where a reading is missing.
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

function straight(pen, x1, y1, x2, y2) {
  pen.beginPath();
  pen.moveTo(x1, y1);
  pen.lineTo(x2, y2);
  pen.stroke();
}

function draw_axes({pen, colour, area, box, view, volts, amps, to_x, volts_y, amps_y}) {
  const tall = area.bottom - area.top;
  const of_volts = marks(volts, Math.max(3, Math.round(tall / 36)));
  pen.strokeStyle = colour("--line");
  pen.lineWidth = 1;
  pen.fillStyle = colour("--accent");
  pen.textAlign = "right";
  for (const value of of_volts.at) {
    const y = Math.round(volts_y(value)) + 0.5;
    straight(pen, area.left, y, area.right, y);
    pen.fillText(number(value, of_volts.digits), area.left - 6, y + 4);
  }
  const of_amps = marks(amps, 2);
  pen.fillStyle = colour("--quiet");
  pen.textAlign = "left";
  for (const value of of_amps.at)
    pen.fillText(number(value, of_amps.digits), area.right + 6, amps_y(value) + 4);
  const wide = area.right - area.left;
  const times = time_marks(view.from, view.to, Math.max(2, wide / 90));
  for (const seconds of times.at) {
    const x = to_x(seconds);
    straight(pen, x, area.bottom, x, area.bottom + 4);
    const text = duration(seconds, times.unit);
    const half = text.length * letter_px / 2;
    pen.textAlign = "center";
    pen.fillText(text, Math.min(Math.max(x, half), box.width - half), box.height - 4);
  }
  pen.fillStyle = colour("--accent");
  pen.textAlign = "left";
  pen.fillText(t("volts_solid"), area.left, 10);
  pen.fillStyle = colour("--quiet");
  pen.textAlign = "right";
  pen.fillText(t("amps_dotted"), area.right, 10);
}

function draw_band({pen, colour, area, to_x}, band) {
  const [left, right] = [to_x(band.from), to_x(band.to)];
  pen.fillStyle = colour("--accent_soft");
  pen.fillRect(left, area.top, right - left, area.bottom - area.top);
  pen.strokeStyle = colour("--edge");
  pen.lineWidth = 1;
  pen.setLineDash([3, 3]);
  for (const x of [left, to_x(band.likely), right]) straight(pen, x, area.top, x, area.bottom);
  pen.setLineDash([]);
  if (left > area.right || right < area.left) return;
  pen.fillStyle = colour("--ink");
  const is_at_the_right = (left + right) / 2 > (area.left + area.right) / 2;
  pen.textAlign = is_at_the_right ? "right" : "left";
  const x = is_at_the_right ? Math.min(right, area.right) - 4 : Math.max(left, area.left) + 4;
  pen.fillText(t("forecast_end"), x, (area.top + area.bottom) / 2);
}

function draw_cutoff({pen, colour, area, volts_y}, cutoff_v) {
  const y = volts_y(cutoff_v);
  pen.strokeStyle = colour("--ink");
  pen.lineWidth = 1.25;
  pen.setLineDash([7, 4]);
  straight(pen, area.left, y, area.right, y);
  pen.setLineDash([]);
  pen.fillStyle = colour("--ink");
  pen.textAlign = "left";
  pen.fillText(t("cutoff_line", {volts: number(cutoff_v, 2)}), area.left + 4, y - 4);
}

function draw_choice({pen, colour, area, to_x}, choice) {
  pen.strokeStyle = colour("--ink");
  pen.lineWidth = 1;
  const [one, other] = choice.map((seconds) => Math.min(Math.max(to_x(seconds), area.left), area.right));
  if (one !== other) pen.strokeRect(one, area.top, other - one, area.bottom - area.top);
  else straight(pen, one, area.top, one, area.bottom);
}

// `view` is {from, to} in seconds; `band` {from, likely, to} or null; `choice` two moments or null: a frame
// from one to the other, or a line where both are the same.
export function draw(canvas, {points, view, cutoff_v, band, choice}) {
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
  const area = area_of(box);
  const shown = thinned(within(points, view.from, view.to), 2 * box.width);
  const has_cutoff = typeof cutoff_v === "number";
  const volts = range_of([...present(shown, 1), ...(has_cutoff && !view.is_part ? [cutoff_v] : [])], 0.02);
  const amps = range_of([0, ...present(shown, 2)], 1);
  const to_x = (s) => area.left + (area.right - area.left) * (s - view.from) / (view.to - view.from);
  const scale = (r) => (value) => area.bottom - (area.bottom - area.top) * (value - r.low) / (r.high - r.low);
  const plot = {pen, colour, area, box, view, volts, amps, to_x, volts_y: scale(volts), amps_y: scale(amps)};
  const in_area = (act) => {
    pen.save();
    pen.beginPath();
    pen.rect(area.left, area.top, area.right - area.left, area.bottom - area.top);
    pen.clip();
    act();
    pen.restore();
  };

  if (band) in_area(() => draw_band(plot, band));
  draw_axes(plot);
  in_area(() => {
    pen.strokeStyle = colour("--quiet");
    pen.lineWidth = 1.25;
    pen.setLineDash([2, 3]);
    draw_line(pen, shown, 2, to_x, plot.amps_y);
    pen.setLineDash([]);
    if (has_cutoff) draw_cutoff(plot, cutoff_v);
    pen.strokeStyle = colour("--accent");
    pen.lineWidth = 2;
    draw_line(pen, shown, 1, to_x, plot.volts_y);
    if (choice) draw_choice(plot, choice);
  });
}
