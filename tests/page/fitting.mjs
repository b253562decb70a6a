// SPDX-License-Identifier: Apache-2.0
// The view of a new battery: what is asked of the bench, and its codes and numbers as sentences.
import {can_answers, check, find_axe_violations, open} from "./browser.mjs";

const wide = {name: "fitting", width: 1600, height: 1000, scheme: "light"};
const phone = {name: "fitting_phone", width: 320, height: 700, scheme: "dark", locale: "es-ES"};

const charge_first = {
  fit: [
    {of: "voltage", outcome: "fits"}, {of: "chemistry", outcome: "fits"},
    {of: "size_code", outcome: "not_checked"}, {of: "plus_at", outcome: "fits"},
    {of: "post", outcome: "not_checked"}, {of: "cca", outcome: "other_standard"},
    {of: "reserve_capacity", outcome: "not_checked"}, {of: "c20", outcome: "fits"},
  ],
  age: {made: "2025-06", months: 7, oldest_months: 6, is_old: true},
  charge: {soc_1: 0.62, u_1: 0.061, soc_min_1: 0.8, needed_ah: 26.6, needed_u_ah: 4.4, minutes: 159.6},
  verdict: "charge_first",
  after: {monitor: "keeps_the_old", soc_apart_1: 0.2, running: "low", drain: "high", half_empty_days: 4.2},
};

async function answer_with(page, answer) {
  await page.unroute("**/api/v1/fitting");
  await page.route("**/api/v1/fitting", (route) => route.fulfill(
    {contentType: "application/json", body: JSON.stringify(answer)}));
}

const next_post = (page) => page.waitForRequest((request) => request.method() === "POST", {timeout: 5000});

async function press(page, selector) {
  await page.focus(selector);
  await page.keyboard.press("Enter");
}

async function says(page, parts, where) {
  await page.waitForSelector("dialog .answer .conclusion");
  const text = (await page.textContent("dialog .answer")).replace(/[\u00a0\u202f]/gu, " ");
  for (const part of parts) check(text.includes(part), `${where} says "${part}": ${text}`);
}

async function fill(page, values) {
  for (const [name, value] of Object.entries(values)) {
    const node = page.locator(`dialog [name=${name}]`);
    if (await node.evaluate((one) => one.tagName) === "SELECT")
      await node.selectOption(value);
    else
      await node.fill(value);
  }
}

async function asks_by_meter(browser, base_url, pictures) {
  const page = await open(browser, base_url, {...wide, kept: {leadwright_degrees: "f"}});
  await answer_with(page, charge_first);
  await press(page, "#fitting");
  await page.waitForSelector("dialog[open] .fitting");
  await find_axe_violations(page, "new battery, empty");
  await fill(page, {
    chemistry: "agm", cells: "6", c20_ah: "70", cca_a: "720", cca_standard: "en", manufactured_on: "2025-06",
    plus_at: "right", v_chemistry: "agm", v_cells: "6", v_c20_ah: "68.5", v_plus_at: "right",
    ocv_v: "12,42", battery_degrees: "50", stood_h: "30", charger_a: "10",
    monitor_age_days: "900", monitor_soc: "82", running_v: "12.9", drain_ma: "340",
  });
  const sent = next_post(page);
  await page.press("dialog [name=drain_ma]", "Enter");
  const body = (await sent).postDataJSON();
  const wanted = {
    battery: {
      chemistry: "agm", cells: 6, cca_a: 720, c20_ah: 70, cca_standard: "en", manufactured_on: "2025-06",
    },
    plus_at: "right", charger_a: 10, vehicle: {chemistry: "agm", plus_at: "right", c20_ah: 68.5, cells: 6},
    reading: {ocv_v: 12.42, battery_degc: 10, stood_h: 30},
    after: {monitor_age_days: 900, monitor_soc_1: 0.82, running_v: 12.9, drain_a: 0.34},
  };
  check(JSON.stringify(body) === JSON.stringify(wanted), `the question is sent: ${JSON.stringify(body)}`);
  await says(page, [
    "Needs 27 Ah before fitting, about 160 min at your charger's amps.", "62 ± 12 % charged",
    "lacks 26.6 ± 8.8 Ah", "none below 80 %", "Made in June 2025: 7 months old.",
    "calls nothing new after 6 months", "not comparable", "4 points could not be compared",
    "follow the vehicle maker's procedure", "720 A EN", "70 Ah", "tell it again", "20 points apart",
    "12.9 V with the engine running is low", "340 mA is high", "in 4.2 days",
  ], "the answer");
  check(await page.$("dialog[open]") !== null, "the answer stays beside the question");
  await find_axe_violations(page, "new battery, answered");
  if (pictures) {
    await page.$eval("dialog", (node) => { node.scrollTop = 0; });
    await page.screenshot({path: `${pictures}/fitting.png`});
    await page.$eval("dialog", (node) => { node.scrollTop = node.scrollHeight; });
    await page.screenshot({path: `${pictures}/fitting_answer.png`});
  }
  await page.emulateMedia({media: "print"});
  check(await page.isVisible("dialog .conclusion"), "paper has the answer");
  check(await page.isHidden("main"), "and nothing beside it");
  check(await page.isHidden("dialog .buttons"), "paper has no buttons");
  await page.context().close();
}

async function asks_by_ticket(browser, base_url, pictures) {
  const page = await open(browser, base_url, phone);
  await can_answers(page);
  const after = {monitor: null, soc_apart_1: null, running: null, drain: null, half_empty_days: null};
  const age = {made: null, months: null, oldest_months: 6, is_old: false};
  await answer_with(page, {...charge_first, verdict: "may_be_fitted", age, after});
  await press(page, "#queue tr:has-text('T-000006-4') button.link");
  await press(page, "dialog button:has-text('Batería nueva')");
  await page.waitForSelector("dialog[open] .fitting");
  check(await page.$("dialog [name=chemistry]") === null, "a ticket's label is not asked for again");
  const sent = next_post(page);
  await page.press("dialog [name=charger_a]", "Enter");
  check(JSON.stringify((await sent).postDataJSON()) === '{"ticket":"T-000006-4"}', "the ticket is sent");
  const spanish = [
    "Se puede montar, hasta donde se comprobó.", "al 62 ± 12 %", "No se sabe su edad", "540 A EN",
  ];
  await says(page, spanish, "the Spanish answer");
  await find_axe_violations(page, "new battery of a ticket");
  const overflow = await page.$eval("dialog", (node) => node.scrollWidth - node.clientWidth);
  check(overflow <= 0, `the new battery is wider than its dialog by ${overflow} px`);
  if (pictures) await page.screenshot({path: `${pictures}/fitting_phone.png`});

  await page.unroute("**/api/v1/fitting");
  await page.route("**/api/v1/fitting", (route) => route.fulfill({
    status: 400, contentType: "application/problem+json", body: '{"detail":"no","where":"reading.ocv_v"}',
  }));
  await page.press("dialog [name=charger_a]", "Enter");
  await page.waitForSelector("dialog .trouble span[lang=en]:has-text('reading.ocv_v: no')");
  check(await page.$("dialog .answer .conclusion") === null, "an old answer does not stay beside a refusal");
  await page.context().close();
}

export async function look_at_fitting(browser, base_url, pictures) {
  await asks_by_meter(browser, base_url, pictures);
  await asks_by_ticket(browser, base_url, pictures);
}
