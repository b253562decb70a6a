// SPDX-License-Identifier: Apache-2.0
// The counter: the look at a battery with its drawings, its weight, the promise, and the receipt on paper.
import {can_receipt, check, find_axe_violations, open} from "./browser.mjs";

const kept = {leadwright_name: "Ana"};
const post = (page) => page.waitForRequest(
  (one) => one.method() === "POST" && one.url().endsWith("/api/v1/tickets"), {timeout: 5000});

async function reads_a_hydrometer(page) {
  await page.click("dialog details.acid summary");
  await page.fill("dialog [name=gravity_1]", "wet");
  await page.click("dialog button.strong");
  await page.waitForSelector("dialog .trouble:has-text('Cell 1: \"wet\" is no number')");
  await page.fill("dialog [name=gravity_1]", "1,265");
  await page.fill("dialog [name=gravity_3]", "1.19");
  await page.fill("dialog [name=acid_degrees]", "21.5");
}

async function drops_off(page, pictures) {
  await page.click("#drop_off");
  await page.fill("dialog [name=serial]", "EX-8");
  await page.selectOption("dialog [name=chemistry]", "flooded");
  await page.selectOption("dialog [name=cells]", "6");
  const drawn = await page.$$eval("dialog .look", (looks) => looks.map((look) => {
    const paths = [...look.querySelectorAll("path")].map((path) => path.getBBox());
    return paths.length === 2 && paths.every((box) => box.width > 3 && box.height > 3);
  }));
  check(drawn.length === 9 && drawn.every(Boolean), `each sign has its drawing: ${drawn}`);
  await page.check("dialog [name=electrolyte_low]");
  await page.check("dialog [name=terminals_corroded]");
  await page.fill("dialog [name=weight_kg]", "heavy");
  await page.click("dialog button.strong");
  await page.waitForSelector("dialog .trouble:has-text('Weight, kg: \"heavy\" is no number')");
  await page.fill("dialog [name=weight_kg]", "16,4");
  await reads_a_hydrometer(page);
  await page.fill("dialog [name=promised_at]", "2026-01-02T16:30");
  await page.locator("dialog .looks").scrollIntoViewIfNeeded();
  await find_axe_violations(page, "inspection");
  if (pictures) await page.screenshot({path: `${pictures}/inspection.png`});
  const sent = post(page);
  await page.click("dialog button.strong");
  const {inspection, promised_at} = (await sent).postDataJSON();
  check(inspection.weight_kg === 16.4, "a weight is typed with a comma or a point");
  const {electrolyte_low, terminals_corroded, cracked} = inspection;
  check(electrolyte_low && terminals_corroded && !cracked, "the signs are sent");
  const {gravity, acid_degc} = inspection.acid;
  check(JSON.stringify(gravity) === "[1.265,null,1.19]" && acid_degc === 21.5,
        `the acid is sent cell by cell: ${gravity}, ${acid_degc}`);
  check(promised_at === "2026-01-02T16:30:00Z", `the promise is sent: ${promised_at}`);
}

async function gives_a_receipt(page, pictures) {
  await page.evaluate(() => {
    globalThis.printed = 0;
    globalThis.print = () => { globalThis.printed += 1; };
  });
  await page.waitForSelector("dialog .receipt_paper");
  const text = await page.textContent("dialog .receipt_paper");
  for (const part of [
    "demo bench", "T-000008-0", "EX-6", "flooded, 60 Ah, 540 A, EN, L2", "slow", "terminals damaged", "dusty",
    "Expected to be ready: Fri, Jan 2, 4:30 PM.", "not a guarantee",
  ]) {
    check(text.includes(part), `the receipt says "${part}"`);
  }
  const bars = await page.$eval("dialog img", (image) => image.decode().then(() => image.naturalWidth));
  check(bars > 0, "the receipt has the ticket as a code");
  await find_axe_violations(page, "receipt");
  await page.keyboard.press("Enter");
  check(await page.evaluate(() => globalThis.printed) === 1, "Enter prints it");
  await page.emulateMedia({media: "print"});
  check(await page.isHidden("dialog .buttons") && await page.isHidden("dialog h2"), "paper has no buttons");
  const wide = await page.$eval("dialog .receipt_paper", (node) => node.getBoundingClientRect().width);
  check(wide <= 72 / 25.4 * 96 + 1, `it fits a receipt printer: ${wide} px`);
  if (pictures) await page.screenshot({path: `${pictures}/receipt_paper.png`});
  await page.emulateMedia({media: "screen"});
  if (pictures) await page.screenshot({path: `${pictures}/receipt.png`});
  await page.keyboard.type("SN-9");
  await page.keyboard.press("Enter");
  await page.waitForSelector("dialog [name=serial]");
  const serial = await page.inputValue("dialog [name=serial]");
  check(serial === "SN-9", `a scan leaves the receipt for the next battery: ${serial}`);
  await page.keyboard.press("Escape");
}

async function says_why_nothing_is_promised(browser, base_url) {
  const narrow = {name: "held", width: 320, height: 700, scheme: "dark", locale: "es-ES", kept};
  const page = await open(browser, base_url, narrow);
  const why = "8.2 kg is too light for 60 Ah at 12 V";
  await can_receipt(page, {state: "held", state_reason: why, promised_at: null});
  await page.evaluate(async () => {
    const view = await import("/receipt.js");
    await view.open_receipt("T-000008-0", ["It is held."]);
  });
  await page.waitForSelector("dialog .receipt_paper");
  const text = await page.textContent("dialog");
  check(text.includes(`retenida: ${why}`), "a held one says why");
  check(text.includes("Aún no se puede decir") && text.includes("It is held."), "and promises nothing");
  await find_axe_violations(page, "receipt, phone");
  const overflow = await page.$eval("dialog", (node) => node.scrollWidth - node.clientWidth);
  check(overflow <= 0, `the receipt is wider than its dialog by ${overflow} px`);
  await page.context().close();
}

async function takes_up_again(page) {
  await can_receipt(page, {state: "held", state_reason: "too light"});
  await page.evaluate(() => import("/ticket.js").then((view) => view.open_ticket("T-000008-0")));
  await page.waitForSelector("dialog .ticket_page");
  const asked = page.waitForRequest((one) => one.url().endsWith("/T-000008-0/recheck"), {timeout: 5000});
  await page.click("dialog button:has-text('Take it up again')");
  check((await asked).method() === "POST", "a held ticket is taken up again from its page");
  await page.click("dialog button:has-text('Receipt')");
  await page.waitForSelector("dialog .receipt_paper");
}

export async function look_at_counter(browser, base_url, pictures) {
  const wide = {name: "counter", width: 1600, height: 1000, scheme: "light", kept};
  const page = await open(browser, base_url, wide);
  await can_receipt(page);
  await drops_off(page, pictures);
  await gives_a_receipt(page, pictures);
  await takes_up_again(page);
  await page.context().close();
  await says_why_nothing_is_promised(browser, base_url);
}
