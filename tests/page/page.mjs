// SPDX-License-Identifier: Apache-2.0
// node page.mjs BASE_URL [PICTURES]: looks at a running bench's page and changes nothing.
// node page.mjs --serve PROGRAM [PICTURES]: serves bench.json by serve_snapshot and works the page too.
// Exits 0 if every check holds; each failed one is a line. Pictures are written to PICTURES if it is given.
import {mkdirSync} from "node:fs";
import {dirname} from "node:path";
import {chromium} from "playwright-core";
import {can_answers, can_receipt, check, count, find_axe_violations, open, serve} from "./browser.mjs";
import {look_at_batch} from "./batch.mjs";
import {look_at_chart} from "./chart.mjs";
import {look_at_counter} from "./counter.mjs";
import {look_at_fitting} from "./fitting.mjs";
import {look_at_intake} from "./intake.mjs";
import {look_at_languages} from "./languages.mjs";
import {look_at_override} from "./override.mjs";
import {look_at_photos} from "./photos.mjs";
import {look_at_queue} from "./queue.mjs";
import {look_at_rehearsals} from "./rehearsals.mjs";
import {look_at_sign_in} from "./sign_in.mjs";
import {look_at_start} from "./start.mjs";

const looks = [
  {name: "wide", width: 1600, height: 1000, scheme: "light"},
  {name: "wide_dark", width: 1600, height: 1000, scheme: "dark"},
  {name: "tablet", width: 800, height: 1100, scheme: "light"},
  {name: "tablet_dark", width: 800, height: 1100, scheme: "dark"},
  {name: "phone", width: 320, height: 700, scheme: "light"},
  {name: "phone_dark", width: 320, height: 700, scheme: "dark"},
];

// Looks at the details of a ticket, all folded parts open and with a chart if there is a run.
async function look_at_ticket(page, look, pictures) {
  const ticket = await page.$("#queue tr:has-text('T-000006-4') button.link") ??
    await page.$("#queue button.link");
  if (!ticket) return;
  await ticket.focus();
  await page.keyboard.press("Enter");
  await page.waitForSelector("dialog[open] .ticket_page", {timeout: 5000});
  if (pictures) await page.screenshot({path: `${pictures}/${look.name}_ticket.png`});
  const run = await page.$("dialog .item button:has-text('chart')");
  if (run) {
    await run.focus();
    await page.keyboard.press("Enter");
    const no_trace = "dialog .item [role=status]:has-text('no trace')";
    await page.waitForSelector(`dialog figure.chart:not([hidden]), ${no_trace}`, {timeout: 5000});
  }
  await page.$$eval("dialog details", (nodes) => nodes.forEach((node) => { node.open = true; }));
  await find_axe_violations(page, `${look.name}, ticket`);
  const overflow = await page.$eval("dialog", (node) => node.scrollWidth - node.clientWidth);
  check(overflow <= 0, `${look.name}: the ticket is wider than its dialog by ${overflow} px`);
  if (pictures) {
    await page.$eval("dialog", (node) => { node.scrollTop = node.scrollHeight; });
    await page.screenshot({path: `${pictures}/${look.name}_ticket_end.png`});
  }
  await page.keyboard.press("Escape");
  check(await page.$("dialog[open]") === null, `${look.name}: Escape closes the ticket`);
  const focused = await page.evaluate(() => document.activeElement?.className);
  check(focused === "link", `${look.name}: focus comes back to the ticket's number`);
}

async function look_at_instruments(page, look, pictures) {
  await page.focus("#instruments");
  await page.keyboard.press("Enter");
  await page.waitForSelector("dialog[open] .facts_list", {timeout: 5000});
  await find_axe_violations(page, `${look.name}, instruments`);
  const overflow = await page.$eval("dialog", (node) => node.scrollWidth - node.clientWidth);
  check(overflow <= 0, `${look.name}: the instruments are wider than their dialog by ${overflow} px`);
  if (pictures) await page.screenshot({path: `${pictures}/${look.name}_instruments.png`});
  await page.keyboard.press("Escape");
  check(await page.$("dialog[open]") === null, `${look.name}: Escape closes the instruments`);
  const focused = await page.evaluate(() => document.activeElement?.id);
  check(focused === "instruments", `${look.name}: focus comes back to Instruments`);
}

async function look_at(browser, base_url, look, pictures, is_canned) {
  const page = await open(browser, base_url, look);
  if (is_canned) await can_answers(page);
  await find_axe_violations(page, look.name);
  const overflow = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  check(overflow <= 0, `${look.name}: wider than the window by ${overflow} px`);
  const small = await page.$$eval("button, input, select, summary", (nodes) => nodes.filter((node) => {
    const box = node.getBoundingClientRect();
    return box.width > 0 && (box.width < 24 || box.height < 18);
  }).map((node) => node.textContent || node.name));
  check(small.length === 0, `${look.name}: targets too small: ${small}`);
  if (pictures) await page.screenshot({path: `${pictures}/${look.name}.png`, fullPage: true});
  await page.evaluate(() => localStorage.setItem("leadwright_name", "Test"));
  await page.click("#drop_off");
  await page.waitForSelector("dialog[open] [name=serial]");
  await find_axe_violations(page, `${look.name}, drop-off`);
  if (pictures) await page.screenshot({path: `${pictures}/${look.name}_drop_off.png`});
  await page.keyboard.press("Escape");
  check(await page.$("dialog[open]") === null, `${look.name}: Escape closes the form`);
  await look_at_ticket(page, look, pictures);
  await look_at_instruments(page, look, pictures);
  const violations = await page.evaluate(() => globalThis.csp_violations);
  check(violations.length === 0, `${look.name}: content security policy: ${violations.join(", ")}`);
  await page.context().close();
}

async function chart_and_table_agree(page) {
  const [points, rows] = await page.evaluate(async () => {
    const bench = await (await fetch("/api/v1/bench")).json();
    const place = bench.places.find((one) => one.chart?.length > 1);
    const card = document.getElementById(`place_${place.name}`);
    card.querySelector("details").open = true;
    await new Promise((done) => setTimeout(done, 100));
    const numbers = (row) => [...row.cells].map((cell) => Number(cell.textContent));
    const rows = [...card.querySelectorAll("tbody tr")].map(numbers);
    return [place.chart, rows];
  });
  check(rows.length === points.length, `the table has ${rows.length} of ${points.length} points`);
  check(points.every(([t, v], i) => Math.abs(rows[i][0] - t) <= 0.5 && Math.abs(rows[i][1] - v) <= 0.0005),
        "the table has the chart's numbers");
}

const next_post = (page) => page.waitForRequest((request) => request.method() === "POST", {timeout: 5000});

// Everything by keyboard: name, start, stop, question, move by scan, drop-off, stop all.
async function work_by_keyboard(page) {
  const press = async (selector) => {
    await page.focus(selector);
    await page.keyboard.press("Enter");
  };
  await press("#who");
  await page.keyboard.type("Éva");
  await page.keyboard.press("Enter");
  await page.waitForSelector("#who:has-text('You: Éva')");

  await press("[id='place_charge-3'] .buttons button:has-text('Start')");
  await page.waitForSelector("dialog[open] .cautions");
  let sent = next_post(page);
  const is_start = (one) => one.url().endsWith("/api/v1/places/charge-3/start");
  const started = page.waitForRequest(is_start, {timeout: 5000});
  await page.keyboard.press("Enter");
  check((await sent).postDataJSON().of === "cautions", "Start acknowledges the cautions that it shows");
  let request = await started;
  const actor = decodeURIComponent(request.headers()["leadwright-actor"]);
  check(actor === "page: Éva, unverified", "the actor is sent");
  check((await (await request.response()).json()).actor === "page: Éva, unverified", "the actor arrives");
  await page.waitForSelector("dialog:not([open])", {state: "attached"});

  await press("[id='place_bay-1'] .buttons button:has-text('Stop')");
  await page.keyboard.type("smells");
  sent = next_post(page);
  await page.keyboard.press("Enter");
  check((await sent).postDataJSON().why === "smells", "Stop sends its reason");
  await page.waitForSelector("dialog:not([open])", {state: "attached"});

  await press("[id='place_bay-2'] .buttons button:has-text('cautions')");
  sent = next_post(page);
  await page.keyboard.press("Enter");
  check((await sent).postDataJSON().of === "cautions", "the cautions are acknowledged by name");
  await page.waitForSelector("dialog:not([open])", {state: "attached"});

  await page.focus("#scan");
  await page.keyboard.type("t-000006-4\n");
  await page.keyboard.type("charge-4");
  sent = next_post(page);
  await page.keyboard.press("Enter");
  request = await sent;
  check(new URL(request.url()).pathname === "/api/v1/tickets/T-000006-4/move", "two scans move a ticket");
  check(request.postDataJSON().place === "charge-4", "the move names the place");
  await page.waitForSelector("#said:has-text('charge-4')");

  await can_receipt(page);
  await press("#drop_off");
  await page.fill("[name=serial]", "EX-1");
  await page.selectOption("[name=chemistry]", "agm");
  await page.selectOption("[name=cells]", "6");
  await page.fill("[name=cca_a]", "640");
  sent = next_post(page);
  await page.press("[name=cca_a]", "Enter");
  request = await sent;
  const battery = JSON.stringify(request.postDataJSON().battery);
  check(battery === '{"serial":"EX-1","chemistry":"agm","cells":6,"cca_a":640}', "the drop-off is sent");
  await page.waitForSelector("#said:has-text('T-000008-0')");
  await page.waitForSelector("dialog .receipt_paper");
  await page.keyboard.press("Escape");

  sent = next_post(page);
  await press("#stop_all");
  check(new URL((await sent).url()).pathname === "/api/v1/stop", "Stop all stops at once");
}

async function ticket_says_all(page) {
  await can_answers(page);
  await page.focus("#queue tr:has-text('T-000006-4') button.link");
  await page.keyboard.press("Enter");
  await page.waitForSelector("dialog[open] .ticket_page");
  const text = await page.textContent("dialog");
  for (const part of [
    "Ticket T-000006-4", "EX-6", "540 A, EN", "100 min, SAE", "60 Ah", "<b>slow</b> to crank",
    "terminals damaged",
    "101.8 ± 3.2 min", "6.12 ± 0.22 mΩ", "k = 2", "25 A to 10.50 V", "24.1 degC", "0.2 % rect.", "0.31 min",
    "1.62 min", "R-000011: reserve capacity, version 3", "fell to 10.50 V", "unsafe",
    "A terminal is damaged.",
    "probability 0.87", "sell as used", "bench policy 1",
  ]) {
    check(text.includes(part), `the ticket says "${part}"`);
  }
  const certificate = await page.getAttribute("dialog a:has-text('Certificate')", "href");
  check(certificate === "/api/v1/tickets/T-000006-4/certificate.pdf", `its certificate is at ${certificate}`);
  check(!text.toLowerCase().includes("unknown"), "a standard that was not stated is not shown");
  check(await page.$("dialog b") === null, "a story stays text");
  await page.click("dialog button:has-text('Show the chart')");
  await page.waitForSelector("dialog figure.chart:not([hidden])");
  const caption = await page.getAttribute("dialog canvas", "aria-label");
  const of_the_run = "Over 1 h 45 min: volts from 12.60 to 10.8";
  check(caption.startsWith(of_the_run), `the chart is of the run: ${caption}`);
  await page.keyboard.press("Escape");

  await page.route("**/api/v1/tickets/T-000007-2", (route) => route.fulfill(
    {status: 404, contentType: "application/problem+json", body: '{"detail":"gone","where":"ticket"}'}));
  await page.click("#queue tr:has-text('T-000007-2') button.link");
  await page.waitForSelector("#said:has-text('T-000007-2: ticket: gone')");
}

async function a_free_place_says_what_should_come(page) {
  const shown = await page.textContent("[id='place_charge-4'] .suggestion");
  const wanted = "Suggested next here: T-000006-4, recharge before leaving. " +
    "Nothing else waits for a place of this kind.";
  check(shown === wanted, `a free place says what should come: ${shown}`);
  check(await page.isHidden("[id='place_bay-1'] .suggestion"), "a place at work suggests nothing");
}

async function instruments_say_how_they_do(page) {
  await can_answers(page);
  const notices = await page.textContent("[id='place_charge-4'] .notices");
  const lost = "The thermometer charge-4.thermometer is lost and looked for, since Jan 1, 2026, " +
    "9:12:00 AM UTC: serial:/dev/serial/by-id/x: no such device: plug it in";
  check(notices === lost, `a card says what is lost: ${notices}`);
  check(await page.isHidden("[id='place_bay-1'] .notices"), "a card is silent about ready instruments");
  check(await page.isHidden("[id='place_bay-1'] .buttons button:has-text('Instruments')"),
        "a card with ready instruments has no button for them");

  await page.focus("#instruments");
  await page.keyboard.press("Enter");
  await page.waitForSelector("dialog[open] .facts_list");
  const text = await page.textContent("dialog");
  for (const part of [
    "bay-1.load", "ready, since Jan 1, 2026, 12:00:05 AM UTC",
    "<b>Example</b>, L1, serial EX-7, firmware 1.0",
    "generic load", "tcp:192.0.2.7:5025",
    "18,234 asked, 3 asked again, 2 without an answer in time, 1 garbled",
    "half within about 18.1 ms (between 12.8 ms and 25.6 ms)", "99 of 100 within about 25.4 ms",
    "the longest 1.25 s", "half within about 0.07 ms (between 0 ms and 0.1 ms)", "at once",
    "within 600 ms", "not answering well, since Jan 1, 2026, 9:40:00 AM UTC", "has not answered yet",
    "none yet", "Jan 1, 2026, 3:20:00 AM UTC: 1 without an answer in time",
  ]) {
    check(text.includes(part), `the instruments say "${part}"`);
  }
  check(await page.$("dialog b") === null, "an identity stays text");
  const traces = await page.$$eval("dialog dd:last-child", (nodes) => nodes.map((node) => node.textContent));
  check(traces.join() === "on,off,off", `the byte traces are told: ${traces}`);
  await page.keyboard.press("Escape");

  await page.click("[id='place_charge-4'] .buttons button:has-text('Instruments')");
  await page.waitForSelector("dialog[open] .facts_list");
  const shown = await page.$$eval("dialog h3", (nodes) => nodes.map((node) => node.textContent));
  check(shown.join() === "charge-4.thermometer", `a card opens its own instruments: ${shown}`);
  await page.keyboard.press("Escape");

  await page.route("**/api/v1/instruments", (route) => route.fulfill(
    {status: 503, contentType: "application/problem+json", body: '{"detail":"not yet","where":"bench"}'}));
  await page.click("#instruments");
  await page.waitForSelector("#said:has-text('Instruments: bench: not yet')");
}

async function main(words) {
  const is_canned = words[0] === "--serve";
  const [target, pictures] = is_canned ? words.slice(1) : words;
  if (!target) {
    console.error("usage: node page.mjs BASE_URL [PICTURES] | --serve PROGRAM [PICTURES]");
    return 64;
  }
  if (pictures) mkdirSync(pictures, {recursive: true});
  const running = {base_url: target.replace(/\/$/, ""), child: null};
  const {base_url, child} = is_canned ? await serve(target) : running;
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: process.getuid() === 0 ? ["--no-sandbox"] : [],
  });
  try {
    for (const look of looks) await look_at(browser, base_url, look, pictures, is_canned);
    if (is_canned) {
      const page = await open(browser, base_url, looks[0]);
      await chart_and_table_agree(page);
      await work_by_keyboard(page);
      await ticket_says_all(page);
      await a_free_place_says_what_should_come(page);
      await instruments_say_how_they_do(page);
      await look_at_chart(browser, base_url, pictures);
      await look_at_counter(browser, base_url, pictures);
      await look_at_fitting(browser, base_url, pictures);
      await look_at_intake(browser, base_url, pictures);
      await look_at_batch(browser, base_url, pictures);
      await look_at_override(browser, base_url, pictures);
      await look_at_photos(browser, base_url, pictures);
      await look_at_languages(browser, base_url, pictures);
      await look_at_queue(browser, base_url, pictures);
      await look_at_rehearsals(browser, base_url, `${dirname(target)}/leadwright`, pictures);
      await look_at_start(browser, base_url, pictures);
      await look_at_sign_in(browser, base_url, pictures);
      child.stdin.write("quiet\n");
      await page.waitForSelector("body.not_live", {timeout: 5000});
      check((await page.textContent("#live")).startsWith("Not live"), "a lost stream is said in words");
      await find_axe_violations(page, "not live");
      if (pictures) await page.screenshot({path: `${pictures}/not_live.png`});
    }
  } finally {
    await browser.close();
    child?.stdin.end();
  }
  console.log(`page: ${count.checks - count.failures} checks passed, ${count.failures} failed`);
  return count.failures === 0 ? 0 : 1;
}

process.exitCode = await main(process.argv.slice(2));
