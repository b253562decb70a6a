// SPDX-License-Identifier: Apache-2.0
// Many cores at once by keyboard: what is set aside, which tickets are asked for, and a lost answer.
import {check, find_axe_violations, open} from "./browser.mjs";

const wide = {name: "batch", width: 1600, height: 1000, scheme: "light", kept: {leadwright_name: "Ana"}};
const phone = {...wide, name: "batch_phone", width: 320, height: 700, scheme: "dark", locale: "es-ES"};

// Three times Enter: serial, volts, look.
async function add(page, serial, volts, seen = null) {
  await page.keyboard.type(serial);
  await page.keyboard.press("Enter");
  await page.keyboard.type(volts);
  await page.keyboard.press("Enter");
  if (seen) await page.selectOption("dialog [name=seen]", seen);
  await page.keyboard.press("Enter");
}

const cells_of = (page) => page.$$eval("dialog tbody tr", (rows) => rows.map(
  (row) => [...row.cells].slice(0, 4).map((cell) => cell.textContent).join("|")));

async function fill_label(page) {
  await page.selectOption("dialog [name=chemistry]", "flooded");
  await page.selectOption("dialog [name=cells]", "6");
  await page.fill("dialog [name=c20_ah]", "60");
}

async function open_batch(browser, base_url, look) {
  const page = await open(browser, base_url, look);
  await page.focus("#batch");
  await page.keyboard.press("Enter");
  await page.waitForSelector("dialog[open] .scans");
  return page;
}

async function works_forty_cores(browser, base_url, pictures) {
  const page = await open_batch(browser, base_url, wide);
  await find_axe_violations(page, "many at once, empty");
  await add(page, "C-1", "12.41");
  await add(page, "C-2", "11,9", "cracked");
  await add(page, "C-3", "8.2");
  await add(page, "C-4", "13.9");
  await add(page, "C-1", "12.4");
  await add(page, "C-5", "twelve");
  const trouble = await page.textContent("dialog .scans [role=status]");
  check(trouble.startsWith("Give a serial"), "words are no volts");
  await page.fill("dialog [name=volts]", "");
  await page.fill("dialog [name=serial]", "");
  await page.focus("dialog [name=serial]");
  await add(page, "C-6", "10.5", "terminals_damaged");
  const rows = await cells_of(page);
  const wanted = [
    "C-6|10.50 V|terminals damaged|gets a ticket", "C-1|12.40 V||set aside: stands twice in the list",
    "C-4|13.90 V||set aside: may not be lead", "C-3|8.20 V||set aside: below 10.50 V",
    "C-2|11.90 V|cracked|set aside: unsafe", "C-1|12.41 V||gets a ticket",
  ];
  check(rows.join("\n") === wanted.join("\n"), `what becomes of them: ${rows.join("; ")}`);
  for (let i = 7; i <= 40; ++i) await add(page, `C-${i}`, "12.30");
  await fill_label(page);
  check((await page.textContent("dialog")).includes("40 cores: 36 to get a ticket, 0 with one, 4 set aside."),
        "the list is summed up");
  await find_axe_violations(page, "many at once, full");
  if (pictures) {
    await page.$eval("dialog", (node) => { node.scrollTop = 0; });
    await page.screenshot({path: `${pictures}/batch.png`});
  }

  const asked = [];
  await page.route("**/api/v1/tickets", async (route) => {
    const request = route.request();
    const {serial} = request.postDataJSON().battery;
    const is_lost = serial === "C-7" && !asked.some((one) => one.serial === serial);
    asked.push({serial, key: request.headers()["idempotency-key"], body: request.postDataJSON()});
    if (is_lost) return route.abort();
    const body = JSON.stringify({ticket: `T-${serial}`, warnings: []});
    return route.fulfill({status: 201, contentType: "application/json", body});
  });
  await page.focus("dialog [name=c20_ah]");
  await page.keyboard.press("Enter");
  await page.waitForSelector("dialog [role=status]:has-text('1 to get a ticket, 35 with one, 4 set aside')");
  check(asked.length === 36, `36 tickets are asked for, not ${asked.length}`);
  const aside = ["C-2", "C-3", "C-4"];
  check(asked.every((one) => !aside.includes(one.serial)), "nothing that is set aside gets one");
  const damaged = asked.find((one) => one.serial === "C-6").body;
  check(damaged.inspection.terminals_damaged && damaged.inspection.remarks.includes("10.50 V"),
        "look and voltage go into the ticket");
  check(damaged.battery.c20_ah === 60 && damaged.battery.chemistry === "flooded", "and so does the label");

  await page.keyboard.press("Escape");
  await page.focus("#batch");
  await page.keyboard.press("Enter");
  await page.waitForSelector("dialog[open] tbody tr");
  check((await cells_of(page)).length === 40, "a closed list is still there");
  await fill_label(page);
  await page.focus("dialog [name=c20_ah]");
  await page.keyboard.press("Enter");
  await page.waitForSelector("dialog [role=status]:has-text('0 to get a ticket, 36 with one')");
  const lost = asked.filter((one) => one.serial === "C-7");
  check(asked.length === 37 && lost.length === 2, "only the lost one is asked for again");
  check(lost[0].key === lost[1].key, "under its old key, so that it is done once");
  await page.context().close();
}

async function fits_a_phone(browser, base_url, pictures) {
  const page = await open_batch(browser, base_url, phone);
  await add(page, "C-1", "12,41");
  await add(page, "C-2", "9,1");
  const [newest] = await cells_of(page);
  check(newest === "C-2|9,10 V||apartada: menos de 10,50 V", newest);
  await find_axe_violations(page, "many at once, phone");
  const overflow = await page.$eval("dialog", (node) => node.scrollWidth - node.clientWidth);
  check(overflow <= 0, `the list is wider than its dialog by ${overflow} px`);
  if (pictures) await page.screenshot({path: `${pictures}/batch_phone.png`});
  await page.context().close();
}

export async function look_at_batch(browser, base_url, pictures) {
  await works_forty_cores(browser, base_url, pictures);
  await fits_a_phone(browser, base_url, pictures);
}
