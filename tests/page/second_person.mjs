// SPDX-License-Identifier: Apache-2.0
// node second_person.mjs BASE_URL [PICTURES]: at a real bench, another letter than its own by two persons: by
// one of them alone it is refused, by both it stands, on the page, in print and on the certificate. Changes
// the bench. Exits 0 if every check holds; each failed one is a line. Pictures go to PICTURES if it is given.
import {mkdirSync, writeFileSync} from "node:fs";
import {chromium} from "playwright-core";
import {check, count, find_axe_violations, open} from "./browser.mjs";

const look = {name: "second_person", width: 1600, height: 1000, scheme: "light"};
const why = "Its owner knows the minutes and wants it for a garden pump.";

const answer = async (base_url, path) => (await fetch(`${base_url}/api/v1${path}`)).json();
const page_of = (base_url, ticket) => answer(base_url, `/tickets/${ticket}`);

// A letter that persons may change.
async function graded_ticket(base_url) {
  for (const {ticket, state} of await answer(base_url, "/tickets")) {
    const {grade, faults} = state === "graded" ? await page_of(base_url, ticket) : {};
    if (grade && grade.letter !== "F" && faults.length === 0) return {ticket, grade};
  }
  throw new Error("no ticket has a letter that persons may change");
}

async function press(page, selector) {
  await page.focus(selector);
  await page.keyboard.press("Enter");
}

async function as_person(browser, base_url, name, ticket, more = {}) {
  const page = await open(browser, base_url, {...look, ...more, kept: {leadwright_name: name}});
  await press(page, `#queue tr:has-text('${ticket}') button.link`);
  await page.waitForSelector("dialog[open] .ticket_page");
  return page;
}

async function confirm(page, letter) {
  await press(page, `dialog button:has-text('Confirm ${letter}')`);
  await page.waitForSelector("dialog button[value=confirm]");
  await press(page, "dialog button[value=confirm]");
}

async function one_person_alone(browser, base_url, {ticket, grade}, letter, pictures) {
  const page = await as_person(browser, base_url, "Ana", ticket);
  await press(page, "dialog button:has-text('Set another letter')");
  await page.waitForSelector("dialog [name=why]");
  await page.selectOption("dialog [name=letter]", letter);
  await page.fill("dialog [name=why]", why);
  await page.press("dialog [name=why]", "Enter");
  await page.waitForSelector(`dialog:has-text('The letter ${letter} waits for a second person.')`);
  check(await page.textContent("dialog .letter") === grade.letter, "the bench's letter stands meanwhile");
  await confirm(page, letter);
  await page.waitForSelector("dialog .trouble:not(:empty)");
  const refusal = await page.textContent("dialog .trouble");
  check(refusal.includes("second person"), `the same person's second word is refused: ${refusal}`);
  check((await page_of(base_url, ticket)).letter === grade.letter, "and changes no letter");
  await find_axe_violations(page, "refused to the same person");
  if (pictures) await page.screenshot({path: `${pictures}/override_refused.png`});
  await page.context().close();
  const again = await as_person(browser, base_url, " ANA", ticket);
  await confirm(again, letter);
  await again.waitForSelector("dialog .trouble:not(:empty)");
  const {letter: stands} = await page_of(base_url, ticket);
  check(stands === grade.letter, "nor does the same name written otherwise");
  await again.context().close();
}

async function on_paper(page, what, pictures) {
  await page.emulateMedia({media: "print"});
  const seen = await page.$eval("dialog .ticket_page", (node) => node.innerText);
  for (const part of what) check(seen.includes(part), `on paper the ticket says "${part}"`);
  const visible = (nodes) => nodes.filter((node) => node.checkVisibility()).length;
  const buttons = await page.$$eval("dialog button", visible);
  check(buttons === 0, `on paper there is nothing to press: ${buttons} buttons`);
  const bytes = await page.pdf({format: "A4", printBackground: false});
  check(bytes.subarray(0, 5).toString() === "%PDF-", "the ticket is printed");
  if (pictures) {
    writeFileSync(`${pictures}/override_printed.pdf`, bytes);
    await page.screenshot({path: `${pictures}/override_printed.png`});
  }
  await page.emulateMedia({media: "screen"});
}

// What a certificate signs, in its own words (daemon/certificate/envelope.h): drawn letters can't be read.
async function on_the_certificate(base_url, {ticket, grade}, letter, pictures) {
  const reply = await fetch(`${base_url}/api/v1/tickets/${ticket}/certificate.svg`);
  const drawn = await reply.text();
  check(reply.ok && drawn.includes("<svg"), `the certificate is drawn: ${reply.status}`);
  const [, carried = ""] = /leadwright-certificate-1:([\w+/=]+)/u.exec(drawn) ?? [];
  const statement = Buffer.from(carried, "base64").toString();
  const own = `\nbench's own grade: ${grade.letter}, `;
  const says = [`\ngrade: ${letter}, `, "\ngrade set by: two persons, ", why, own];
  for (const part of says) check(statement.includes(part), `the certificate says "${part.trim()}"`);
  for (const name of ["Ana", "Bea"])
    check(!statement.includes(name), `the certificate does not name ${name}`);
  if (pictures) writeFileSync(`${pictures}/override_certificate.svg`, drawn);
}

async function second_person(browser, base_url, graded, letter, pictures) {
  const {ticket, grade} = graded;
  const page = await as_person(browser, base_url, "Bea", ticket);
  await confirm(page, letter);
  await page.waitForSelector("dialog .ticket_page:has-text('Set by two persons:')");
  check(await page.textContent("dialog .letter") === letter, "the letter of two persons stands");
  const reason = grade.reason.replaceAll("+-", "±");
  const says = [why, `The bench's own letter is ${grade.letter}`, reason, "Ana", "Bea"];
  const text = await page.textContent("dialog");
  for (const part of says) check(text.includes(part), `the ticket says "${part}"`);
  await find_axe_violations(page, "a letter of two persons, real");
  if (pictures) await page.screenshot({path: `${pictures}/override_real.png`});
  await on_paper(page, says, pictures);
  await page.keyboard.press("Escape");
  const row = `#queue tr:has-text('${ticket}')`;
  await page.waitForSelector(`${row}:has-text('${why}')`);
  check((await page.textContent(row)).includes(letter), "the queue shows the letter that stands");
  await page.context().close();
  const shown = await page_of(base_url, ticket);
  check(shown.letter === letter && shown.grade.letter === grade.letter, "the bench keeps both letters");
  const counted = await (await fetch(`${base_url}/metrics`)).text();
  check(/^leadwright_grade_overrides_total [1-9]/mu.test(counted), "the override is counted");
  await on_the_certificate(base_url, graded, letter, pictures);
}

async function main([base_url, pictures]) {
  if (!base_url) {
    console.error("usage: node second_person.mjs BASE_URL [PICTURES]");
    return 64;
  }
  if (pictures) mkdirSync(pictures, {recursive: true});
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: process.getuid() === 0 ? ["--no-sandbox"] : [],
  });
  try {
    const graded = await graded_ticket(base_url);
    const letter = graded.grade.letter === "C" ? "D" : "C";
    await one_person_alone(browser, base_url, graded, letter, pictures);
    await second_person(browser, base_url, graded, letter, pictures);
  } finally {
    await browser.close();
  }
  console.log(`second person: ${count.checks - count.failures} checks passed, ${count.failures} failed`);
  return count.failures === 0 ? 0 : 1;
}

process.exitCode = await main(process.argv.slice(2).map((word) => word.replace(/\/$/u, "")));
