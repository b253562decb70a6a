// SPDX-License-Identifier: Apache-2.0
// A small plot of points with their intervals, as SVG; the numbers stand in a table beside it.
import {number} from "/amounts.js";
import {marks} from "/chart_scale.js";

const namespace = "http://www.w3.org/2000/svg";
const box = {width: 640, height: 240};
const area = {left: 48, right: 624, top: 24, bottom: 196};

function shape(tag, attributes, ...children) {
  const node = document.createElementNS(namespace, tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  node.append(...children);
  return node;
}

const line = (x1, y1, x2, y2, name) => shape("line", {x1, y1, x2, y2, class: name});
const text = (x, y, anchor, words) => shape("text", {x, y, "text-anchor": anchor}, words);

// `points`: {x, y, low, high}, in order of x. `mark`: where on x the limit is. From zero to `y_most`.
export function plot_of({title, points, x_label, y_label, y_most, mark}) {
  const xs = [...points.map(({x}) => x), mark];
  const [low, high] = [Math.min(...xs), Math.max(...xs)];
  const air = (high - low || 1) * 0.04;
  const range = {low: low - air, high: high + air};
  const to_x = (x) => area.left + (x - range.low) / (range.high - range.low) * (area.right - area.left);
  const to_y = (y) => area.bottom - y / y_most * (area.bottom - area.top);
  const across = marks(range, 8);
  const up = marks({low: 0, high: y_most}, 4);
  const parts = [
    ...up.at.flatMap((y) => [
      line(area.left, to_y(y), area.right, to_y(y), "grid"),
      text(area.left - 6, to_y(y) + 4, "end", number(y, up.digits))
    ]),
    ...across.at.map((x) => text(to_x(x), area.bottom + 16, "middle", number(x, across.digits))),
    line(to_x(mark), area.top, to_x(mark), area.bottom, "limit"),
    ...points.map((one) => line(to_x(one.x), to_y(one.low), to_x(one.x), to_y(one.high), "interval")),
    shape("polyline", {points: points.map((one) => `${to_x(one.x)},${to_y(one.y)}`).join(" ")}),
    ...points.map((one) => shape("circle", {cx: to_x(one.x), cy: to_y(one.y), r: 3})),
    text(area.left, 12, "start", y_label),
    text(area.right, area.bottom + 34, "end", x_label),
  ];
  const view = `0 0 ${box.width} ${box.height}`;
  return shape("svg", {class: "plot", viewBox: view, role: "img", "aria-label": title}, ...parts);
}
