// SPDX-License-Identifier: Apache-2.0
// The start of a run: the next procedure or another, its parameters and limits, its plan, its questions.
import {check, find_axe_violations, open} from "./browser.mjs";

const parameter = {
  name: "charge_amps", what: "the charge's current", default: "0.1 * capacity / 1 h", min: "1 A",
  max: "20 A",
};
const procedures = [
  {procedure: "stability rest", what: "Waits until the voltage stands still.", needs: [], parameters: []},
  {
    procedure: "standard charge", what: "Charges until it is full.", needs: ["charger"],
    parameters: [parameter],
  },
  {procedure: "reserve capacity", what: "Draws 25 A.", needs: ["load"], parameters: []},
  {
    procedure: "recharge before leaving", what: "Fills it.", needs: ["charger", "thermometer"],
    parameters: [],
  },
].map((one) => ({...one, version: 1, attended: false, consent: null, hash: "0"}));

function plan_of(name, wish) {
  const amps = wish.parameters?.charge_amps;
  const too_much = {what: "charge_amps is 50 A, the most is 20 A", where: "parameters", mend: "give less"};
  const step = {
    step: "absorb", what: "", does: "charges at 14.4 V", ends: ["ends at the taper"], runs_max: 2,
    expected_s: 1, longest_s: 2, estimated: null, limited: "the charger gives 10 A",
  };
  return {
    procedure: name, place: wish.place, expected_s: 7200, longest_s: 36000,
    drawn_max_ah: 0, given_max_ah: 66.04, drawn_max_wh: 0, given_max_wh: 950.4, attended: true,
    consent: name.startsWith("recharge") ? "a word of the owner" : null,
    out_of_turn: name.startsWith("recharge") ? "the intake check comes first" : null,
    steps: [step], obstacles: amps === "50 A" ? [too_much] : [],
  };
}

async function answer_for_procedures(page) {
  const wishes = [];
  await page.route("**/api/v1/procedures", (route) => route.fulfill(
    {contentType: "application/json", body: JSON.stringify(procedures)}));
  await page.route("**/api/v1/procedures/*/plan", (route) => {
    const name = decodeURIComponent(route.request().url().split("/").at(-2));
    const wish = route.request().postDataJSON();
    wishes.push(wish);
    return route.fulfill({contentType: "application/json", body: JSON.stringify(plan_of(name, wish))});
  });
  return wishes;
}

const start = "[id='place_charge-3'] .buttons button:has-text('Start')";
const began = (page) => page.waitForRequest((one) => one.url().endsWith("/charge-3/start"), {timeout: 5000});

async function starts_the_next_one(page) {
  await page.focus(start);
  await page.keyboard.press("Enter");
  await page.waitForSelector("dialog .plan .facts_list");
  const choices = await page.$$eval("dialog option", (nodes) => nodes.map((node) => node.textContent).join());
  check(choices === "stability rest (next),standard charge,recharge before leaving",
        `what a charging place can do is there to choose: ${choices}`);
  check(await page.isHidden("dialog .parameters"), "a procedure without parameters asks for none");
  check(await page.$("dialog [name=not_next]") === null, "the next one asks no further question");
  const sent = began(page);
  await page.click("dialog button.strong");
  check((await sent).postData() === "{}", "the next one is started without a name");
  await page.waitForSelector("dialog:not([open])", {state: "attached"});
}

async function starts_another(page, wishes, pictures) {
  await page.click(start);
  await page.waitForSelector("dialog .plan .facts_list");
  await page.selectOption("dialog [name=procedure]", "standard charge");
  await page.waitForSelector("dialog .plan:has-text('66.0 Ah, 950 Wh')");
  const text = await page.textContent("dialog");
  for (const part of [
    "Charges until it is full.", "charge amps", "the charge's current", "from 1 A to 20 A", "2 h 00 min",
    "10 h 00 min", "somebody must be there", "charges at 14.4 V", "; up to 2 times", "ends at the taper",
    "the charger gives 10 A",
  ]) {
    check(text.includes(part), `the start says "${part}"`);
  }
  const {ticket, place} = wishes.at(-1);
  check(ticket === "T-000002-1" && place === "charge-3", "the plan is of this battery");
  await page.fill("dialog [name=parameter_charge_amps]", "50 A");
  await page.keyboard.press("Tab");
  await page.waitForSelector("dialog .obstacles:has-text('In the way: charge_amps is 50 A')");
  await page.fill("dialog [name=parameter_charge_amps]", "7,5 A");
  await page.keyboard.press("Tab");
  await page.waitForSelector("dialog .plan:not(:has(.obstacles))");
  await find_axe_violations(page, "start, another");
  if (pictures) await page.screenshot({path: `${pictures}/start.png`});
  await page.click("dialog button.strong");
  check(await page.$("dialog[open]") !== null, "what is not the next one needs a tick");
  await page.check("dialog [name=not_next]");
  const sent = began(page);
  await page.click("dialog button.strong");
  const body = JSON.stringify((await sent).postDataJSON());
  const wanted = '{"parameters":{"charge_amps":"7.5 A"},"procedure":"standard charge"}';
  check(body === wanted, `it is started: ${body}`);
  await page.waitForSelector("dialog:not([open])", {state: "attached"});
}

async function says_why_not(page) {
  await page.click(start);
  await page.waitForSelector("dialog .plan .facts_list");
  await page.selectOption("dialog [name=procedure]", "recharge before leaving");
  await page.waitForSelector("dialog .obstacles:has-text('Not yet: the intake check comes first')");
  await page.waitForSelector("dialog [name=consented_by]");
  await page.route("**/api/v1/places/charge-3/start", (route) => route.fulfill(
    {status: 409, contentType: "application/problem+json", body: '{"detail":"too early","where":"T-2"}'}));
  await page.check("dialog [name=not_next]");
  await page.fill("dialog [name=consented_by]", "Lena");
  await page.click("dialog button.strong");
  await page.waitForSelector("dialog .trouble:has-text('too early')");
  await page.keyboard.press("Escape");
}

export async function look_at_start(browser, base_url, pictures) {
  const kept = {leadwright_name: "Ana"};
  const wide = {name: "start", width: 1600, height: 1000, scheme: "light", kept};
  const page = await open(browser, base_url, wide);
  const wishes = await answer_for_procedures(page);
  await starts_the_next_one(page);
  await starts_another(page, wishes, pictures);
  await says_why_not(page);
  await page.context().close();
  const narrow = {name: "start_phone", width: 320, height: 700, scheme: "dark", locale: "es-ES", kept};
  const phone = await open(browser, base_url, narrow);
  await answer_for_procedures(phone);
  await phone.click("[id='place_charge-3'] .buttons button:has-text('Empezar')");
  await phone.waitForSelector("dialog .plan .facts_list");
  await phone.selectOption("dialog [name=procedure]", "standard charge");
  await phone.waitForSelector("dialog .parameters:not([hidden])");
  await phone.click("dialog summary");
  await find_axe_violations(phone, "start, phone");
  const overflow = await phone.$eval("dialog", (node) => node.scrollWidth - node.clientWidth);
  check(overflow <= 0, `the start is wider than its dialog by ${overflow} px`);
  if (pictures) await phone.screenshot({path: `${pictures}/start_phone.png`});
  await phone.context().close();
}
