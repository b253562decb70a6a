// SPDX-License-Identifier: Apache-2.0
// Line drawings of what the eye looks for on a battery, drawn for this page. What is wrong is drawn strong.
const svg = "http://www.w3.org/2000/svg";

const box = "M6 16h52v26h-52z M12 16v-5h8v5 M44 16v-5h8v5";
const drawings = {
  cracked: [box, "M30 16l-4 8 6 5 -5 7 3 6"],
  leaking: [box, "M58 30c3 4 4 6 2 8s-4 0-4-3 M10 45h18 M34 45h10"],
  swollen: ["M12 16v-5h8v5 M44 16v-5h8v5 M6 16h52 M6 42h52", "M6 16c-5 8-5 18 0 26 M58 16c5 8 5 18 0 26"],
  frozen: [box, "M32 20v18 M24 24l16 10 M40 24l-16 10"],
  terminals_damaged: ["M6 16h52v26h-52z M44 16v-5h8v5", "M11 16l1-5 3 2 2-4 4 3v4 M9 7l4 2 M20 5l-2 3"],
  terminals_corroded: [box, "M9 15c-2-3 1-5 1-7 2-3 4 0 6-2 3-1 3 3 6 3 1 3 2 4 0 6 M13 10h5"],
  vents_blocked: [
    "M6 16h52v26h-52z",
    "M14 16v-4h8v4z M28 16v-4h8v4z M42 16v-4h8v4z" +
        "M15 8l6-5 M21 8l-6-5 M29 8l6-5 M35 8l-6-5 M43 8l6-5 M49 8l-6-5"
  ],
  electrolyte_low: [
    "M6 10v32h52v-32 M16 20v22 M24 20v22 M32 20v22 M40 20v22 M48 20v22",
    "M7 37c2-5 6-5 8 0 M17 37c2-5 4-5 6 0 M25 37c2-5 4-5 6 0" +
        "M33 37c2-5 4-5 6 0 M41 37c2-5 4-5 6 0 M49 37c2-5 6-5 8 0"
  ],
  label_unreadable: [box, "M16 22h32v14h-32z M20 27l4-2 3 3 4-3 M34 26l4 3 4-3 M20 32l5-1 4 2 M33 32l4-2"],
};

function line(d, name) {
  const path = document.createElementNS(svg, "path");
  path.setAttribute("d", d);
  path.setAttribute("class", name);
  return path;
}

// Beside its sentence, which says all that it shows.
export function picture_of(sign) {
  const picture = document.createElementNS(svg, "svg");
  picture.setAttribute("viewBox", "0 0 64 48");
  picture.setAttribute("class", "sign_picture");
  picture.setAttribute("aria-hidden", "true");
  const [whole, wrong] = drawings[sign];
  picture.append(line(whole, "whole"), line(wrong, "wrong"));
  return picture;
}
