// SPDX-License-Identifier: Apache-2.0
// The view of rehearsals: a file is read in the browser, drawn, and its numbers stand in tables; what is no
// rehearsal says so.
import {execFileSync} from "node:child_process";
import {check, find_axe_violations, open} from "./browser.mjs";

const wide = {name: "rehearsals", width: 1600, height: 1000, scheme: "light"};
const phone = {name: "rehearsals_phone", width: 320, height: 700, scheme: "dark", locale: "es-ES"};

async function choose(page, name, text) {
  await page.setInputFiles(
    "dialog [name=rehearsal]", {name, mimeType: "application/json", buffer: Buffer.from(text)});
  await page.focus("dialog button[value=show]");
  await page.keyboard.press("Enter");
}

async function refuses(page) {
  await choose(page, "torn.json", '{"policy":');
  await page.waitForSelector("dialog .trouble:has-text('torn.json')");
  await choose(page, "other.json", '{"ticket":"T-000001-9"}');
  await page.waitForSelector("dialog .trouble:has-text('other.json is no rehearsal of returns')");
  check(await page.$("dialog .plot") === null, "and draws nothing");
}

// What a reader sees of it must be what the file says.
async function agrees_with(page, found) {
  const rows = await page.$$eval("dialog table tr", (lines) => lines.map((line) => line.textContent));
  const {count, of} = found.false_accepts;
  check(rows.some((row) => row.includes(`Truly bad, accepted${count} of ${of}`)), `bad accepted: ${rows}`);
  const drawn = found.acceptance_by_distance.filter(
    (one) => one.accepted.of > 0 && one.distance_least !== null && one.distance_most !== null);
  const circles = await page.$eval("dialog .plot", (plot) => plot.querySelectorAll("circle").length);
  check(circles === drawn.length, `a point for each class that has returns: ${circles} of ${drawn.length}`);
  const text = await page.textContent("dialog");
  const bay_h = (found.costs.bay_s / 3600).toFixed(2);
  const full_h = (found.full_sequence.bay_s / 3600).toFixed(2);
  check(text.includes(`Test bay, h${bay_h}${full_h}`), `the hours of both ways: ${bay_h}, ${full_h}`);
  for (const line of found.rests_on) check(text.includes(line), `it says what it rests on: ${line}`);
}

export async function look_at_rehearsals(browser, base_url, client, pictures) {
  const words = ["rehearse", "returns", "--policy", "store_claim", "--count", "24", "--seed", "3", "--json"];
  const text = execFileSync(client, words, {encoding: "utf8", maxBuffer: 2 ** 26});
  const page = await open(browser, base_url, wide);
  await page.click("#rehearsals");
  await page.waitForSelector("dialog[open] [name=rehearsal]");
  await find_axe_violations(page, "rehearsals, empty");
  await refuses(page);
  await choose(page, "rehearsal.json", text);
  await page.waitForSelector("dialog .plot");
  await agrees_with(page, JSON.parse(text));
  await find_axe_violations(page, "rehearsals");
  if (pictures) await page.screenshot({path: `${pictures}/rehearsals.png`});
  const small = await open(browser, base_url, phone);
  await small.click("#rehearsals");
  await small.waitForSelector("dialog[open] [name=rehearsal]");
  await choose(small, "rehearsal.json", text);
  await small.waitForSelector("dialog .plot");
  await find_axe_violations(small, "rehearsals, phone");
  const overflow = await small.$eval("dialog", (dialog) => dialog.scrollWidth - dialog.clientWidth);
  check(overflow <= 0, `rehearsals, phone: wider than the dialog by ${overflow} px`);
  if (pictures) await small.screenshot({path: `${pictures}/rehearsals_phone.png`});
}
