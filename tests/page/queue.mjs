// SPDX-License-Identifier: Apache-2.0
// The queue: searched by words of a row, filtered by state, sorted by a column; closed tickets when asked.
import {check, find_axe_violations, open} from "./browser.mjs";

// The last digit of each ticket's number, in the order of the rows.
const shown = (page) => page.$$eval(
  "#queue th button", (nodes) => nodes.map((node) => node.textContent[7]).join(""));
const sorted = (page) => page.$$eval(
  "#queue_heads th[aria-sort]", (heads) => heads.map((one) => `${one.textContent} ${one.ariaSort}`).join());

async function searches(page) {
  const found = async (text) => {
    await page.fill("#filter", text);
    return shown(page);
  };
  check(await found("t-000003-4") === "3", "a search finds a ticket");
  check(await found("L2") === "6", "a search finds a size code");
  check(await found("2025-12") === "24", "a search finds a month");
  check(await found("dec 31") === "24", "a search finds a date as it is shown");
  check(await found("agm rest") === "2", "each word that is typed must be there");
  check(await found("agm nowhere") === "", "and no row is left where one is not");
  check(await page.isVisible("#queue_empty"), "then it is said that none is here");
  await found("");
}

async function sorts_by_keyboard(page) {
  check(await shown(page) === "1234567", "the queue begins in the order of arrival");
  const press = async (column) => {
    await page.focus(`#queue_heads button[aria-label*='${column}']`);
    await page.keyboard.press("Enter");
  };
  check((await sorted(page)) === "Ticket ▲ ascending", `one column is sorted: ${await sorted(page)}`);
  await press("Here for");
  check(await shown(page) === "2415673", `the longest here come first: ${await shown(page)}`);
  check((await sorted(page)) === "Here for ▲ ascending", `and it is said: ${await sorted(page)}`);
  await press("Here for");
  check(await shown(page) === "3156742", `turned about: ${await shown(page)}`);
  await press("Expected");
  check(await shown(page) === "2561347", `what is due first comes first: ${await shown(page)}`);
  const late = await page.textContent("#queue tr:has-text('T-000002-1') .promised");
  check(late === "Wed, Dec 31, 4:00 PMpast its time", `what is late says so: ${late}`);
  check(await page.locator("#queue .late").count() === 1, "what has its grade is not late");
  await press("Grade");
  check((await shown(page)).startsWith("657"), `what has no grade comes last: ${await shown(page)}`);
  await press("Grade");
  check((await shown(page)).startsWith("756"), `whichever way it is sorted: ${await shown(page)}`);
  const first = "#queue tr:first-child button:has-text('Move')";
  await page.focus(first);
  await page.evaluate(() => new Promise((done) => setTimeout(done, 700)));
  check(await page.$eval(first, (node) => node === document.activeElement), "focus stays in its row");
  await press("Ticket");
}

async function shows_states(page, pictures) {
  const choices = await page.$$eval("#queue_state option", (nodes) => nodes.map((node) => node.value).join());
  check(choices === ",received,waiting,charging,resting,testing,graded,recharging,held,refused,closed",
        `every state can be chosen: ${choices}`);
  await page.selectOption("#queue_state", "testing");
  check(await shown(page) === "14", `one state: ${await shown(page)}`);
  check((await page.textContent("#queue_count")) === "2 of 7 tickets", "the count says how many of all");
  const gone = {
    ticket: "T-000009-9", battery: "B-000009", label: "agm 12 V, 70 Ah, EX-9", letter: "C", state: "closed",
    state_reason: "", place: "", closing: "handed_back", received_at: "2025-12-01T09:00:00Z",
  };
  await page.route("**/api/v1/tickets?state=closed*", (route) => route.fulfill(
    {contentType: "application/json", body: JSON.stringify([gone])}));
  await page.selectOption("#queue_state", "closed");
  await page.waitForSelector("#queue tr:has-text('T-000009-9')");
  const row = await page.textContent("#queue tr");
  const says_its_end = row.includes("handed back") && row.includes("Dec 1, 2025");
  check(says_its_end, `a closed ticket says how it ended: ${row}`);
  const says_what_it_was = row.includes("AGM 12 V, 70 Ah, EX-9");
  const letter = await page.textContent("#queue tr .grade");
  check(says_what_it_was && letter === "C", `and what it was, with its letter: ${row}`);
  check(await page.isHidden("#queue .move button"), "and can't be moved");
  await find_axe_violations(page, "queue, closed");
  if (pictures) await page.screenshot({path: `${pictures}/queue_closed.png`, fullPage: true});
  await page.selectOption("#queue_state", "");
  check(await shown(page) === "1234567", "all that are open again");
}

async function sorts_on_a_phone(browser, base_url, pictures) {
  const phone = await open(browser, base_url, {name: "queue_phone", width: 320, height: 700, scheme: "dark"});
  check(await phone.isHidden("#queue_heads button"), "a phone has no heads to press");
  await phone.selectOption("#queue_sort", "age down");
  check(await shown(phone) === "3156742", "but a choice of columns");
  await find_axe_violations(phone, "queue, phone");
  if (pictures) await phone.locator(".queue_head").screenshot({path: `${pictures}/queue_phone.png`});
  await phone.context().close();
}

export async function look_at_queue(browser, base_url, pictures) {
  const page = await open(browser, base_url, {name: "queue", width: 1600, height: 1000, scheme: "light"});
  await searches(page);
  await sorts_by_keyboard(page);
  await shows_states(page, pictures);
  await page.setViewportSize({width: 1200, height: 900});
  const overflow = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  check(overflow <= 0, `the queue is wider than a window of 1200 px by ${overflow} px`);
  if (pictures) await page.locator(".queue").screenshot({path: `${pictures}/queue_1200.png`});
  await page.context().close();
  await sorts_on_a_phone(browser, base_url, pictures);
}
