// SPDX-License-Identifier: Apache-2.0
// The chart: its forecast in words, parts of a run by buttons and by pointer, and the table behind them.
import {can_answers, check, find_axe_violations, open} from "./browser.mjs";

const card = "[id='place_bay-1']";

const seconds_shown = (page, parent) => page.$$eval(
  `${parent} .numbers tbody tr td:first-child`, (nodes) => nodes.map((node) => Number(node.textContent)));
const under = (page, parent) => page.textContent(`${parent} .under`);

async function press(page, parent, label) {
  await page.focus(`${parent} .zoom button:has-text('${label}')`);
  await page.keyboard.press("Enter");
}

async function foretells(page) {
  const said = await page.getAttribute(`${card} canvas`, "aria-label");
  check(said.includes("cut-off at 10.50 V"), `the cut-off is said: ${said}`);
  const foretold =
    "Its end is expected after 1 h 45 min, between 1 h 29 min and 1 h 54 min in 90 of 100 runs";
  check(said.includes(foretold), `the forecast is said: ${said}`);
}

async function shows_parts_by_keyboard(page, pictures) {
  await page.focus(`${card} summary`);
  await page.keyboard.press("Enter");
  await page.waitForSelector(`${card} .numbers tbody tr`);
  const all = await seconds_shown(page, card);
  await press(page, card, "Closer");
  await press(page, card, "Closer");
  await press(page, card, "Earlier");
  await press(page, card, "Earlier");
  await press(page, card, "Earlier");
  const part = await seconds_shown(page, card);
  check(part.length > 2 && part.length < all.length, `a part has ${part.length} of ${all.length} rows`);
  check(part[0] === all[0], "the first part begins with the run");
  check((await under(page, card)).startsWith("From 0 s to"), `its span is said: ${await under(page, card)}`);
  await find_axe_violations(page, "chart, part");
  if (pictures) await page.locator(card).screenshot({path: `${pictures}/chart_part.png`});
  await press(page, card, "Wider");
  await press(page, card, "Whole run");
  check((await seconds_shown(page, card)).length === all.length, "the whole run is shown again");
  check(await under(page, card) === "", "and nothing is said of a part");
}

async function shows_parts_by_pointer(page) {
  const box = await page.locator(`${card} canvas`).boundingBox();
  const all = await seconds_shown(page, card);
  const at = (share) => [box.x + box.width * share, box.y + box.height / 2];
  await page.mouse.move(...at(0.2));
  const reading = await under(page, card);
  check(/^At \d+ min: 1[0-2]\.\d{3} V, 2[45]\.\d\d A$/u.test(reading), `the pointer reads: ${reading}`);
  await page.mouse.down();
  await page.mouse.move(...at(0.3));
  await page.mouse.move(...at(0.35));
  await page.mouse.up();
  const part = await seconds_shown(page, card);
  check(part.length > 2 && part.length < all.length / 2, `a drag shows ${part.length} of ${all.length} rows`);
  await page.mouse.move(...at(2));
  check((await under(page, card)).startsWith("From "), "the span stays when the pointer leaves");
  await page.mouse.dblclick(...at(0.5));
  check((await seconds_shown(page, card)).length === all.length, "a double click shows the whole run");
}

// A pulse of one sample in a long run must not fall between the points that are drawn.
async function keeps_pulses(page) {
  const [drawn, volts, first, last] = await page.evaluate(async () => {
    const {thinned} = await import("/chart_scale.js");
    const points = Array.from({length: 20000}, (_, i) => [i, i === 7777 ? 9 : i % 50 === 3 ? null : 12.6, 0]);
    const kept = thinned(points, 600);
    return [kept.length, Math.min(...kept.map((one) => one[1] ?? 99)), kept[0][0], kept.at(-1)[0]];
  });
  check(drawn <= 620 && volts === 9, `of 20,000 points ${drawn} are drawn, the lowest ${volts} V`);
  check(first === 0 && last === 19999, "from the first to the last");
}

async function of_a_ticket(page, pictures) {
  await can_answers(page);
  await page.click("#queue tr:has-text('T-000006-4') button.link");
  await page.click("dialog button:has-text('Show the chart')");
  await page.waitForSelector("dialog figure.chart:not([hidden])");
  await page.click("dialog figure summary");
  await page.waitForSelector("dialog .numbers tbody tr");
  const rows = await seconds_shown(page, "dialog");
  check(rows.length > 200 && rows.length <= 420, `the table of 900 samples has ${rows.length} rows`);
  const drawn = await page.getAttribute("dialog canvas", "aria-label");
  check(drawn.includes("cut-off at 10.50 V"), `a run of the past shows where it was to end: ${drawn}`);
  await press(page, "dialog", "Closer");
  await press(page, "dialog", "Closer");
  const close = await seconds_shown(page, "dialog");
  const steps = close.slice(1).map((one, i) => one - close[i]);
  check(steps.every((one) => one === 7), "close by, every sample has its row");
  await page.locator("dialog figure").scrollIntoViewIfNeeded();
  if (pictures) await page.screenshot({path: `${pictures}/chart_ticket.png`});
  await page.keyboard.press("Escape");
}

export async function look_at_chart(browser, base_url, pictures) {
  const wide = {name: "chart", width: 1600, height: 1000, scheme: "light"};
  const page = await open(browser, base_url, wide);
  await foretells(page);
  await shows_parts_by_keyboard(page, pictures);
  await shows_parts_by_pointer(page);
  await keeps_pulses(page);
  await of_a_ticket(page, pictures);
  await page.context().close();
  const phone = await open(browser, base_url, {name: "chart_phone", width: 320, height: 700, scheme: "dark"});
  await phone.click(`${card} summary`);
  await find_axe_violations(phone, "chart, phone");
  if (pictures) await phone.locator(card).screenshot({path: `${pictures}/chart_phone.png`});
  await phone.context().close();
}
