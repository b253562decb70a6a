// SPDX-License-Identifier: Apache-2.0
// node real_bench.mjs PROGRAMS [PICTURES]: a battery through the page of the real daemon over benchsim:
// intake by scans, the receipt printed, start, live run, trip and acknowledgement, reconnection after the
// daemon died; in English on a wide screen and in Spanish on a phone. Exits 0 if every check holds; each
// failed one is a line.
import {mkdirSync} from "node:fs";
import {chromium} from "playwright-core";
import {BenchProcess} from "./bench_process.mjs";
import {check, count, find_axe_violations, open} from "./browser.mjs";

// Slow enough for a busy machine: a reading that comes late trips the place.
const scale = 60;
const patience = {timeout: 60000};
const wide = {
  name: "real", width: 1600, height: 1000, scheme: "light", kept: {leadwright_name: "Ana"},
};
const phone = {...wide, name: "real_phone", width: 320, height: 700, scheme: "dark", locale: "es-ES"};
const card = "[id='place_bay-1']";

async function scan(page, text) {
  await page.keyboard.type(text);
  await page.keyboard.press("Enter");
}

async function press(page, selector) {
  await page.focus(selector);
  await page.keyboard.press("Enter");
}

async function takes_in(page, pictures) {
  await page.evaluate(() => document.activeElement?.blur());
  await scan(page, "REAL-1");
  await page.waitForSelector("dialog[open] .scans");
  await scan(page, "EX-60-FL");
  await page.waitForSelector("dialog .scans [role=status]:has-text('EX-60-FL')");
  await find_axe_violations(page, "real: drop-off");
  await scan(page, "RC-1001");
  await page.waitForSelector("dialog .receipt_paper");
  const receipt = await page.textContent("dialog .receipt_paper");
  const [ticket] = /T-\d{6}-[\dX]/u.exec(receipt);
  check(receipt.includes("Expected to be ready: "), "the receipt says for when it is expected");
  const drawn = await page.$eval("dialog img", (image) => image.decode().then(() => image.naturalWidth > 0));
  check(drawn, "the receipt has the ticket as a code");
  await find_axe_violations(page, "real: receipt");
  await page.evaluate(() => { globalThis.print = () => { globalThis.printed = true; }; });
  await page.keyboard.press("Enter");
  check(await page.evaluate(() => globalThis.printed === true), "Enter prints the receipt");
  const paper = await page.pdf({width: "80mm", height: "200mm"});
  check(paper.subarray(0, 5).toString() === "%PDF-", "the receipt is printed");
  if (pictures) await page.screenshot({path: `${pictures}/real_receipt.png`});
  await page.keyboard.press("Escape");
  await page.waitForSelector(`#queue tr:has-text('${ticket}'):has-text('dropped off')`);
  return ticket;
}

async function carries(page, bench, ticket) {
  bench.hand("plug bay-1 cell:sound,charged=0.5");
  await page.evaluate(() => document.activeElement?.blur());
  await scan(page, ticket);
  await scan(page, "bay-1");
  await page.waitForSelector(`${card} .ticket:has-text('${ticket}')`, patience);
}

async function starts(page, procedure, pictures) {
  await page.waitForSelector(`${card} .buttons button:has-text('Start'):not([hidden])`, patience);
  await page.waitForSelector(`#queue tr:has-text('Next: ${procedure}')`, patience);
  await press(page, `${card} .buttons button:has-text('Start')`);
  await page.waitForSelector("dialog[open] .cautions");
  await page.waitForSelector("dialog .plan .facts_list", patience);
  await find_axe_violations(page, `real: before the ${procedure}`);
  if (pictures) await page.screenshot({path: `${pictures}/real_start.png`});
  await page.focus("dialog button.strong");
  await page.keyboard.press("Enter");
  await page.waitForSelector("dialog:not([open])", {...patience, state: "attached"});
  await page.waitForSelector(`${card}[data-activity=running]`, patience);
}

async function runs_live(page, pictures) {
  await page.waitForSelector(`${card} .reading:has-text('A in')`, patience);
  const shown = () => page.$eval(`${card} .left`, (node) => node.textContent);
  const before = await shown();
  await page.waitForFunction(
    ([at, was]) => document.querySelector(at).textContent !== was, [`${card} .left`, before], patience);
  check(await page.isVisible(`${card} progress`), "a run shows how far it is");
  const row = await page.textContent("#queue tr:has(button.link)");
  check(!row.includes("Next:") && !row.includes("Needs you"), `what runs is nothing to come: ${row}`);
  await page.waitForSelector(`${card} figure.chart:not([hidden])`, patience);
  await find_axe_violations(page, "real: a live run");
  if (pictures) await page.screenshot({path: `${pictures}/real_run.png`});
}

async function says_in_spanish(page, words, where, pictures) {
  const text = await page.textContent(`${card} .needs`);
  for (const word of words) check(text.includes(word), `${where}: the card says "${word}": ${text}`);
  check(await page.$(`${card} .needs [lang=en]`) === null, `${where}: and none of it in English`);
  const alarms = await page.textContent("#alarms");
  check(alarms.includes(words[0]), `${where}: the alarm says it: ${alarms}`);
  await find_axe_violations(page, where);
  const overflow = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  check(overflow <= 0, `${where}: wider than the window by ${overflow} px`);
  if (pictures) await page.screenshot({path: `${pictures}/real_trip_phone.png`, fullPage: true});
}

async function trips(page, small, bench, pictures) {
  bench.hand("fault bay-1.thermometer reads_tenfold on");
  await page.waitForSelector(`${card}[data-activity=tripped]`, patience);
  const limit = "is above the limit of 50.0 °C";
  const needs = await page.textContent(`${card} .needs`);
  check(needs.includes(limit) && needs.includes("find the cause"), `the card says why: ${needs}`);
  check((await page.textContent("#alarms")).includes(limit), "and so does the alarm");
  await find_axe_violations(page, "real: a trip");
  if (pictures) await page.screenshot({path: `${pictures}/real_trip.png`});
  await small.waitForSelector(`${card}[data-activity=tripped]`, patience);
  await says_in_spanish(
    small, ["supera el límite de 50,0 °C", "busque la causa"], "real: a trip, phone", pictures);
  bench.hand("fault bay-1.thermometer reads_tenfold off");
  await press(page, `${card} .buttons button:has-text('Acknowledge')`);
  await page.waitForSelector(`dialog[open]:has-text('${limit}')`);
  await press(page, "dialog button[value=yes]");
  await page.waitForSelector(`${card}[data-activity=ready]`, patience);
  check(await page.isHidden("#alarms"), "acknowledged, the alarm is gone");
}

// What it says of the run that tripped, and what comes next, in the reader's language.
async function shows_ticket(small, ticket) {
  await press(small, `#queue tr:has-text('${ticket}') button.link`);
  await small.waitForSelector("dialog[open] .ticket_page", patience);
  const text = await small.textContent("dialog");
  for (const part of ["terminaron todos los pasos", "supera el límite de 50,0 °C", "carga normal"])
    check(text.includes(part), `the ticket says in Spanish "${part}"`);
  await find_axe_violations(small, "real: ticket, phone");
  await small.keyboard.press("Escape");
}

async function comes_back(page, small, bench, ticket, pictures) {
  await bench.kill_daemon();
  for (const each of [page, small]) await each.waitForSelector("body.not_live", patience);
  check((await page.textContent("#live")).startsWith("Not live"), "a dead daemon is said in words");
  await find_axe_violations(page, "real: not live");
  if (pictures) await page.screenshot({path: `${pictures}/real_not_live.png`});
  await bench.start_daemon();
  for (const each of [page, small]) await each.waitForSelector("body:not(.not_live)", patience);
  await page.waitForSelector(`#queue tr:has-text('${ticket}')`, patience);
  await page.waitForSelector(`${card}[data-activity=running]`, patience);
  check(await page.isHidden("dialog"), "the page goes on without being loaded again");
}

// Over a minute away, so that the bench can't tell by its voltage whose battery it is.
async function lets_it_go_on(page, pictures) {
  await page.waitForSelector(`${card} .needs:has-text('it stands still')`, patience);
  await find_axe_violations(page, "real: it stands still");
  if (pictures) await page.screenshot({path: `${pictures}/real_paused.png`});
  await press(page, `${card} .buttons button:has-text('Let it go on')`);
  await page.waitForSelector("dialog [name=reason]");
  await page.keyboard.type("the ticket's battery, clamps on");
  await page.keyboard.press("Enter");
  await page.waitForSelector("#said:has-text('bay-1 goes on.')", patience);
  await page.waitForSelector(`${card} .reading:has-text('A in')`, patience);
}

async function is_stopped_and_looked_at(page, ticket, pictures) {
  await press(page, `${card} .buttons button:has-text('Stop')`);
  await page.waitForSelector("dialog [name=reason]");
  await page.keyboard.type("it drips");
  await page.keyboard.press("Enter");
  await page.waitForSelector(`${card}[data-activity=ready]`, patience);
  await press(page, `#queue tr:has-text('${ticket}') button.link`);
  await press(page, "dialog button:has-text('Look at it again')");
  await page.waitForSelector("dialog .inspection");
  await page.click("dialog .layout summary");
  await page.selectOption("dialog [name=plus_at]", "right");
  await page.selectOption("dialog [name=vehicle_plus_at]", "left");
  await page.check("dialog [name=leaking]");
  await find_axe_violations(page, "real: the look at the bench");
  if (pictures) await page.screenshot({path: `${pictures}/real_look.png`});
  await press(page, "dialog button[value=note]");
  await page.waitForSelector("dialog .ticket_page:has-text('Plus post: differs')", patience);
  const text = await page.textContent("dialog");
  check(text.includes("refused") && text.includes("never charge or test it"), "what leaks is refused");
  await find_axe_violations(page, "real: a ticket that is refused");
  await page.keyboard.press("Escape");
}

async function work(browser, bench, pictures) {
  const page = await open(browser, bench.url(), wide);
  const ticket = await takes_in(page, pictures);
  await carries(page, bench, ticket);
  // No place here is for charging alone: the bay goes on with the charge by itself.
  await starts(page, "intake check", pictures);
  const small = await open(browser, bench.url(), phone);
  await runs_live(page, pictures);
  await find_axe_violations(small, "real: a live run, phone");
  await trips(page, small, bench, pictures);
  await shows_ticket(small, ticket);
  await starts(page, "standard charge", null);
  await page.waitForSelector(`${card} .reading:has-text('A in')`, patience);
  await comes_back(page, small, bench, ticket, pictures);
  await lets_it_go_on(page, pictures);
  await is_stopped_and_looked_at(page, ticket, pictures);
  for (const each of [page, small]) {
    const violations = await each.evaluate(() => globalThis.csp_violations);
    check(violations.length === 0, `content security policy: ${violations.join(", ")}`);
  }
}

async function main([programs, pictures]) {
  if (!programs) {
    console.error("usage: node real_bench.mjs PROGRAMS [PICTURES]");
    return 64;
  }
  if (pictures) mkdirSync(pictures, {recursive: true});
  const began = performance.now();
  const bench = new BenchProcess(programs, scale);
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: process.getuid() === 0 ? ["--no-sandbox"] : [],
  });
  let is_done = false;
  try {
    await bench.begin();
    await work(browser, bench, pictures);
    is_done = true;
  } finally {
    await browser.close();
    await bench.end(!is_done);
  }
  const seconds = ((performance.now() - began) / 1000).toFixed(0);
  const passed = count.checks - count.failures;
  console.log(`real bench: ${passed} checks passed, ${count.failures} failed, ${seconds} s`);
  return count.failures === 0 ? 0 : 1;
}

process.exitCode = await main(process.argv.slice(2).map((word) => word.replace(/\/$/u, "")));
