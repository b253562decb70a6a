// SPDX-License-Identifier: Apache-2.0
// What the tests of the page share: the count of checks, a browser's page, axe, and the echoing server.
import {spawn} from "node:child_process";
import {readFileSync} from "node:fs";
import {createRequire} from "node:module";
import {createInterface} from "node:readline";
import {fileURLToPath} from "node:url";

const axe_source = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const file = (name) => new URL(name, import.meta.url);
const canned = fileURLToPath(file("bench.json"));
const canned_ticket = readFileSync(file("ticket.json"), "utf8");
const canned_instruments = readFileSync(file("instruments.json"), "utf8");

export const count = {checks: 0, failures: 0};
export function check(holds, what) {
  count.checks += 1;
  if (holds) return;
  count.failures += 1;
  console.error(`failed: ${what}`);
}

export async function find_axe_violations(page, where) {
  await page.evaluate(axe_source);
  const result = await page.evaluate(() => globalThis.axe.run(document, {
    runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
  }));
  check(result.passes.length > 10, `${where}: axe ran`);
  for (const one of result.violations) {
    const nodes = one.nodes.slice(0, 3).map((node) => node.target.join(" ")).join("; ");
    check(false, `${where}: axe ${one.id}: ${one.help}: ${nodes}`);
  }
}

// A look may have a locale, a time zone and choices kept from before.
export async function open(browser, base_url, look) {
  const context = await browser.newContext({
    viewport: {width: look.width, height: look.height}, colorScheme: look.scheme, reducedMotion: "reduce",
    locale: look.locale ?? "en-US", timezoneId: look.zone ?? "UTC",
  });
  const page = await context.newPage();
  await page.addInitScript(() => {
    globalThis.csp_violations = [];
    document.addEventListener("securitypolicyviolation", (event) => {
      globalThis.csp_violations.push(`${event.violatedDirective} ${event.blockedURI}`);
    });
  });
  await page.addInitScript((kept) => {
    for (const [name, value] of Object.entries(kept)) localStorage.setItem(name, value);
  }, look.kept ?? {});
  page.on("pageerror", (error) => check(false, `${look.name}: script error: ${error.message}`));
  page.on("request", (request) => {
    const url = request.url();
    check(url.startsWith(base_url) || url.startsWith("data:"), `${look.name}: asked another host: ${url}`);
  });
  await page.goto(base_url, {waitUntil: "load"});
  await page.waitForSelector("body:not(.not_live) .card", {timeout: 15000});
  return page;
}

// The echoing server knows no ticket, no trace and no instrument.
export async function can_answers(page) {
  const samples = Array.from({length: 900}, (_, i) => (
    {t_s: i * 7, step: 0, volts_v: i === 5 ? null : 12.6 - i * 0.002, amps_a: 25, case_degc: 24}));
  await page.route("**/api/v1/tickets/T-000006-4", (route) => route.fulfill(
    {contentType: "application/json", body: canned_ticket}));
  await page.route("**/api/v1/runs/R-000011/trace", (route) => route.fulfill(
    {contentType: "application/json", body: JSON.stringify({run: "R-000011", every: 1, samples})}));
  await page.route("**/api/v1/instruments", (route) => route.fulfill(
    {contentType: "application/json", body: canned_instruments}));
}

// The ticket that a drop-off makes there, as a receipt reads it.
export async function can_receipt(page, changes = {}) {
  const made = JSON.parse(canned_ticket.replaceAll("T-000006-4", "T-000008-0"));
  Object.assign(made.ticket, {promised_at: "2026-01-02T16:30:00Z", ...changes});
  await page.route("**/api/v1/tickets/T-000008-0", (route) => route.fulfill(
    {contentType: "application/json", body: JSON.stringify(made)}));
  const bar = '<path d="M10 0h2v24h-2z"/>';
  const bars = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 154 24">${bar}</svg>`;
  await page.route("**/api/v1/tickets/T-000008-0/code.svg", (route) => route.fulfill(
    {contentType: "image/svg+xml", body: bars}));
}

export function serve(program) {
  const child = spawn(program, [canned], {stdio: ["pipe", "pipe", "inherit"]});
  const lines = createInterface({input: child.stdout});
  return new Promise((done, failed) => {
    child.on("error", failed);
    lines.once("line", (line) => done({base_url: line.trim(), child}));
  });
}
