// SPDX-License-Identifier: Apache-2.0
// Which part of a run a chart shows: chosen with buttons, or with a pointer dragged across the canvas.
import {area_of} from "/chart_draw.js";
import {element} from "/dom.js";
import {t} from "/words.js";

const least_span_s = 1;
const least_drag_px = 8;

// Keeps a part inside the whole; null where it is all of it.
function part_of(whole, from, to) {
  const span = Math.max(to - from, least_span_s);
  if (span >= whole.to - whole.from) return null;
  const start = Math.min(Math.max(from, whole.from), whole.to - span);
  return {from: start, to: start + span, is_part: true};
}

// `view` gives the part that is shown, `whole` all of the run; `set` takes a new part, or null for all.
export function zoom_buttons({view, whole, set}) {
  const scaled = (share) => {
    const {from, to} = view();
    const middle = (from + to) / 2;
    set(part_of(whole(), middle - (to - from) * share / 2, middle + (to - from) * share / 2));
  };
  const moved = (share) => {
    const {from, to} = view();
    set(part_of(whole(), from + (to - from) * share, to + (to - from) * share));
  };
  const button = (label, onclick) => element("button", {type: "button", onclick}, label);
  return [
    button(t("zoom_in"), () => scaled(0.5)),
    button(t("zoom_out"), () => scaled(2)),
    button(t("zoom_earlier"), () => moved(-0.5)),
    button(t("zoom_later"), () => moved(0.5)),
    button(t("zoom_whole"), () => set(null)),
  ];
}

// `choose` is told what lies under the pointer, [moment, moment] or null.
export function zoom_by_pointer(canvas, {view, whole, set, choose}) {
  let pressed = null;
  const moment_of = (event) => {
    const box = canvas.getBoundingClientRect();
    const area = area_of(box);
    const share = (event.clientX - box.left - area.left) / (area.right - area.left);
    const {from, to} = view();
    return from + (to - from) * Math.min(Math.max(share, 0), 1);
  };
  canvas.addEventListener("pointerdown", (event) => {
    if (event.button !== 0) return;
    pressed = {moment: moment_of(event), x: event.clientX};
    canvas.setPointerCapture(event.pointerId);
  });
  canvas.addEventListener("pointermove", (event) => {
    const now = moment_of(event);
    choose(pressed ? [pressed.moment, now] : [now, now]);
  });
  canvas.addEventListener("pointerup", (event) => {
    if (!pressed) return;
    const [from, to] = [pressed.moment, moment_of(event)].sort((one, other) => one - other);
    const is_drag = Math.abs(event.clientX - pressed.x) >= least_drag_px;
    pressed = null;
    if (is_drag) set(part_of(whole(), from, to));
  });
  for (const name of ["pointerleave", "pointercancel"]) {
    canvas.addEventListener(name, () => {
      pressed = null;
      choose(null);
    });
  }
  canvas.addEventListener("dblclick", () => set(null));
}
