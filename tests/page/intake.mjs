// SPDX-License-Identifier: Apache-2.0
// The drop-off by scanner: three scans with the scanner's Enter, the list of parts, and a scan anywhere.
import {can_receipt, check, find_axe_violations, open} from "./browser.mjs";

const wide = {name: "intake", width: 1600, height: 1000, scheme: "light"};
const part = {
  part: "EX-70-AGM",
  battery: {
    chemistry: "agm", cells: 6, cca_a: 760, cca_standard: "en", reserve_capacity_min: 120,
    reserve_capacity_standard: "sae", c20_ah: 70.5, c20_standard: null, size_code: "X3", manufactured_on: "",
  },
};

const focused = (page) => page.evaluate(() => document.activeElement?.name);

async function know_parts(page) {
  await page.route("**/api/v1/parts/*", (route) => {
    if (route.request().url().endsWith("/EX-70-AGM"))
      return route.fulfill({contentType: "application/json", body: JSON.stringify(part)});
    return route.fulfill({
      status: 404, contentType: "application/problem+json",
      body: '{"detail":"there is no part \\"X\\"","where":"part","mend":"type what its label says"}',
    });
  });
}

// A scanner types fast and ends with Enter.
async function scan(page, text) {
  await page.keyboard.type(text);
  await page.keyboard.press("Enter");
}

async function takes_three_scans(browser, base_url, pictures) {
  const page = await open(browser, base_url, {...wide, locale: "es-ES", kept: {leadwright_name: "Ana"}});
  await know_parts(page);
  await can_receipt(page);
  await page.focus("#drop_off");
  await page.keyboard.press("Enter");
  await page.waitForSelector("dialog[open] .scans");
  check(await focused(page) === "serial", "the drop-off begins at the serial");
  await scan(page, "SN-1");
  check(await focused(page) === "part", "Enter after the serial leads to the part");
  await scan(page, "NO-SUCH");
  await page.waitForSelector("dialog .scans [role=status]:has-text('there is no part')");
  await page.focus("dialog [name=part]");
  await page.fill("dialog [name=part]", "");
  await scan(page, "EX-70-AGM");
  check(await focused(page) === "receipt", "Enter after the part leads to the receipt");
  await page.waitForSelector("dialog .scans [role=status]:has-text('EX-70-AGM: la etiqueta')");
  const c20 = await page.inputValue("dialog [name=c20_ah]");
  check(c20 === "70,5", "amounts are filled in as the reader writes them");
  await find_axe_violations(page, "drop-off, filled by a part");
  if (pictures) await page.screenshot({path: `${pictures}/three_scans.png`});
  const sent = page.waitForRequest((request) => request.method() === "POST", {timeout: 5000});
  await scan(page, "RC-77");
  const body = (await sent).postDataJSON();
  const battery = {
    serial: "SN-1", chemistry: "agm", cells: 6, cca_a: 760, reserve_capacity_min: 120, c20_ah: 70.5,
    cca_standard: "en", reserve_capacity_standard: "sae", size_code: "X3",
  };
  const sent_label = JSON.stringify(body.battery);
  check(sent_label === JSON.stringify(battery), `the part's label is sent: ${sent_label}`);
  check(body.story.receipt === "RC-77", "the third scan is the receipt, and sends the form");
  await page.waitForSelector("#said:has-text('La ficha T-000008-0 está abierta.')");
  await page.context().close();
}

async function scans_anywhere(browser, base_url) {
  const page = await open(browser, base_url, {...wide, kept: {leadwright_name: "Ana"}});
  await page.evaluate(() => document.activeElement?.blur());
  await scan(page, "T-000006-4");
  const found = await page.textContent("#said");
  check(found.startsWith("T-000006-4: now scan"), "a scan anywhere finds a ticket");
  await page.evaluate(() => document.activeElement?.blur());
  await scan(page, "T-000099-0");
  const refused = await page.textContent("#said");
  check(refused.includes("no ticket of this bench"), "a foreign ticket begins nothing");
  check(await page.$("dialog[open]") === null, "and opens nothing");
  await page.evaluate(() => document.activeElement?.blur());
  await scan(page, "SN-9");
  await page.waitForSelector("dialog[open] .scans");
  check(await page.inputValue("dialog [name=serial]") === "SN-9", "a scan of a battery begins its drop-off");
  check(await focused(page) === "part", "and goes on at the part");
  await page.context().close();
}

export async function look_at_intake(browser, base_url, pictures) {
  await takes_three_scans(browser, base_url, pictures);
  await scans_anywhere(browser, base_url);
}
