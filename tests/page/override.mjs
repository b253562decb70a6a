// SPDX-License-Identifier: Apache-2.0
// Another letter than the bench's own: what is asked of the bench, by whom, and what the ticket shows of it.
import {readFileSync} from "node:fs";
import {check, find_axe_violations, open} from "./browser.mjs";

const wide = {name: "override", width: 1600, height: 1000, scheme: "light"};
const phone = {name: "override_phone", width: 320, height: 700, scheme: "dark", locale: "es-ES"};
const path = "/api/v1/tickets/T-000006-4";
const canned = JSON.parse(readFileSync(new URL("ticket.json", import.meta.url), "utf8"));
const people = [{person: "P-1", name: "Ana"}, {person: "P-2", name: null}];
const sound = {...canned, faults: [], letter: "B", overrides: [], people};

function override(state, more = {}) {
  return {
    ticket: "T-000006-4", number: 1, letter: "D", own_letter: "B", own_reason: canned.grade.reason,
    why: "Its posts are <b>loose</b>.", disposition: "scrap_it", state, proposed_by: "P-1",
    proposed_at: "2026-01-01T07:00:00Z", settled_by: "", settled_at: null, stands: state === "confirmed",
    waits: state === "proposed", ...more,
  };
}
const settled = {settled_by: "P-2", settled_at: "2026-01-01T08:00:00Z"};
const proposed = {...sound, overrides: [override("proposed")]};
const confirmed = {...sound, letter: "D", overrides: [override("confirmed", settled)]};

async function answer_with(page, ticket) {
  await page.unroute(`**${path}`);
  await page.route(`**${path}`, (route) => route.fulfill(
    {contentType: "application/json", body: JSON.stringify(ticket)}));
}

async function show(page, ticket) {
  await answer_with(page, ticket);
  await page.focus("#queue tr:has-text('T-000006-4') button.link");
  await page.keyboard.press("Enter");
  await page.waitForSelector("dialog[open] .ticket_page");
}

async function press(page, selector) {
  await page.focus(selector);
  await page.keyboard.press("Enter");
}

// What is sent to a verb while the bench would show `then` afterwards.
async function sent_to(page, verb, act, then) {
  await page.route(`**${path}/${verb}`, (route) => route.fulfill(
    {contentType: "application/json", body: JSON.stringify(then.overrides[0])}));
  await answer_with(page, then);
  const sent = page.waitForRequest((one) => one.url().endsWith(`${path}/${verb}`), {timeout: 5000});
  await act();
  const body = (await sent).postData();
  await page.waitForSelector("dialog[open] .ticket_page");
  return body;
}

const text_of = (page) => page.textContent("dialog");

async function two_persons(browser, base_url, pictures) {
  const page = await open(browser, base_url, {...wide, kept: {leadwright_name: "Ana"}});
  await show(page, sound);
  await press(page, "dialog button:has-text('Set another letter')");
  await page.waitForSelector("dialog [name=why]");
  const letters = await page.$$eval("dialog option", (nodes) => nodes.map((node) => node.value));
  check(letters.join() === ",A,C,D,U", `neither the letter that stands nor F can be chosen: ${letters}`);
  check((await text_of(page)).includes("refused for safety stays refused"), "it says what it can't do");
  await find_axe_violations(page, "another letter");
  if (pictures) await page.screenshot({path: `${pictures}/override.png`});
  await page.selectOption("dialog [name=letter]", "D");
  await page.fill("dialog [name=why]", " Its posts are <b>loose</b>. ");
  const wish = await sent_to(page, "override", () => page.press("dialog [name=why]", "Enter"), proposed);
  check(wish === '{"letter":"D","why":"Its posts are <b>loose</b>."}', `the proposal is sent: ${wish}`);

  check((await text_of(page)).includes("The letter D waits for a second person."), "it waits");
  check(await page.textContent("dialog .letter") === "B", "the bench's letter stands meanwhile");
  await press(page, "dialog button:has-text('Confirm D')");
  await page.waitForSelector("dialog h2:has-text('D in place of B')");
  for (const part of ["Its posts are <b>loose</b>.", "Ana proposes D", "The bench's own letter is B"])
    check((await text_of(page)).includes(part), `who confirms reads "${part}"`);
  await find_axe_violations(page, "confirm another letter");
  if (pictures) await page.screenshot({path: `${pictures}/override_confirm.png`});
  const word = await sent_to(
    page, "override/confirm", () => press(page, "dialog button[value=confirm]"), confirmed);
  check(word === '{"letter":"D"}', `the confirmation names the letter: ${word}`);

  const text = await text_of(page);
  check(await page.textContent("dialog .letter") === "D", "the letter of two persons stands");
  for (const part of [
    "Set by two persons: Its posts are <b>loose</b>.", "The bench's own letter is B",
    canned.grade.reason.replace("+-", "±"), "scrap it", "probability 0.87",
    "confirmed by a person whose name was erased (P-2)",
  ]) check(text.includes(part), `the ticket says "${part}"`);
  check(await page.$("dialog b") === null, "a reason stays text");
  await find_axe_violations(page, "a letter of two persons");
  if (pictures) await page.screenshot({path: `${pictures}/override_stands.png`});
  await page.context().close();
}

async function refusals(browser, base_url) {
  const page = await open(browser, base_url, {...wide, kept: {leadwright_name: "Ana"}});
  await show(page, {...sound, faults: canned.faults});
  check(await page.$("dialog button:has-text('Set another letter')") === null, "a fault has no other letter");
  await page.keyboard.press("Escape");
  await show(page, proposed);
  await page.route(`**${path}/override/confirm`, (route) => route.fulfill({
    status: 409, contentType: "application/problem+json",
    body: '{"detail":"who proposed a letter can\'t confirm it","where":"T-000006-4"}',
  }));
  await press(page, "dialog button:has-text('Confirm D')");
  await press(page, "dialog button[value=confirm]");
  await page.waitForSelector("dialog .trouble:has-text('who proposed a letter')");
  await page.keyboard.press("Escape");
  await show(page, proposed);
  await press(page, "dialog button:has-text('Let it drop')");
  await page.waitForSelector("dialog [name=why]");
  await page.fill("dialog [name=why]", "ask again");
  const body = await sent_to(
    page, "override/withdraw", () => page.press("dialog [name=why]", "Enter"), sound_again());
  check(body === '{"why":"ask again"}', `it is dropped with a reason: ${body}`);
  await page.context().close();
}

function sound_again() {
  return {...sound, overrides: [override("withdrawn", settled)]};
}

async function spanish_on_a_phone(browser, base_url, pictures) {
  const page = await open(browser, base_url, {...phone, kept: {leadwright_name: "Ana"}});
  await show(page, confirmed);
  const parts = [
    "Puesta por dos personas:", "La letra del propio banco es B:",
    "confirmada por una persona cuyo nombre se borró (P-2)",
  ];
  for (const part of parts)
    check((await text_of(page)).includes(part), `the Spanish ticket says "${part}"`);
  await find_axe_violations(page, "a letter of two persons in Spanish");
  const overflow = await page.$eval("dialog", (node) => node.scrollWidth - node.clientWidth);
  check(overflow <= 0, `the letter of two persons is wider than its dialog by ${overflow} px`);
  if (pictures) await page.screenshot({path: `${pictures}/override_phone.png`});
  await page.context().close();
}

export async function look_at_override(browser, base_url, pictures) {
  await two_persons(browser, base_url, pictures);
  await refusals(browser, base_url);
  await spanish_on_a_phone(browser, base_url, pictures);
}
