// SPDX-License-Identifier: Apache-2.0
// Languages, degrees, decimals and dates; and what the first load weighs.
import {can_answers, check, find_axe_violations, open} from "./browser.mjs";

// "under 80 kB over the wire on first load".
const first_load_max_bytes = 80000;
const wide = {width: 1600, height: 1000, scheme: "light"};
const phone = {width: 320, height: 700, scheme: "dark"};
const spaces = /[\u00a0\u202f]/gu;

const text_of = async (page, selector) => (await page.textContent(selector)).replace(spaces, " ");

async function press(page, selector) {
  await page.focus(selector);
  await page.keyboard.press("Enter");
}

async function weigh_first_load(browser, base_url) {
  const page = await (await browser.newContext()).newPage();
  const session = await page.context().newCDPSession(page);
  const scripts = new Set();
  let bytes = 0;
  await session.send("Network.enable");
  session.on("Network.loadingFinished", (event) => { bytes += event.encodedDataLength; });
  session.on("Network.responseReceived", ({response}) => {
    if (response.mimeType === "text/javascript") scripts.add(response.headers["Content-Encoding"]);
  });
  const began = performance.now();
  await page.goto(base_url, {waitUntil: "load"});
  await page.waitForSelector("body:not(.not_live) .card", {timeout: 15000});
  const live_ms = Math.round(performance.now() - began);
  check([...scripts].join() === "gzip", `scripts come packed: ${[...scripts]}`);
  check(bytes > 10000 && bytes < first_load_max_bytes, `the first load is ${bytes} bytes`);
  console.log(`page: first load ${bytes} bytes over the wire, headers included; live after ${live_ms} ms`);
  await page.context().close();
}

// Words of the page's own that stay English are a hole in the tables; what the bench says is marked.
async function find_english(page, where) {
  const found = await page.evaluate(() => {
    const english = /\b(?:the|and|of|is|not|with|this|what|has|which|from|to|at|by)\b/iu;
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    const texts = [];
    while (walker.nextNode()) {
      const parent = walker.currentNode.parentElement;
      const is_named = parent.closest("[lang=en], noscript, datalist, option, .card .ticket, #bench_name");
      const text = walker.currentNode.data;
      const is_of_a_customer = text.includes("slow");
      if (!is_named && !is_of_a_customer && english.test(text)) texts.push(text.trim());
    }
    return texts;
  });
  check(found.length === 0, `${where}: English that is not marked: ${found.join(" | ")}`);
}

async function speaks_spanish(browser, base_url, look, pictures) {
  const page = await open(browser, base_url, {...look, locale: "es-ES", zone: "Europe/Madrid"});
  await can_answers(page);
  const where = `spanish ${look.width}`;
  check(await page.getAttribute("html", "lang") === "es", `${where}: the language is stated`);
  check(await text_of(page, "#live") === "En directo", `${where}: the browser's language is chosen`);
  const clock = await text_of(page, "#clock");
  check(clock.startsWith("1 ene 2026, 10:48:00"), `${where}: ${clock}`);
  const bay = await text_of(page, "[id='place_bay-1']");
  for (const part of ["11,13 V", "25,00 A de salida", "24,6 °C", "bahía de ensayo", "en marcha", "Parar"])
    check(bay.includes(part), `${where}: the card says "${part}"`);
  const row = await text_of(page, "#queue tr:has-text('T-000006-4')");
  for (const part of [
    "calificada", "101,8 ± 3,2 min de 100", "Da 101,8 min de capacidad de reserva (± 3,2 min, k = 2)",
    "frente a los 100 min nominales: sana; sin ensayo con carga de arranque.",
    "Siguiente: recarga antes de salir",
  ])
    check(row.includes(part), `${where}: the row says "${part}": ${row}`);
  const needs = await text_of(page, "#queue tr:has-text('T-000002-1') .needs");
  check(needs === "Le necesita: empezar en charge-3: reposo hasta estabilizar", `${where}: ${needs}`);
  const notice = await text_of(page, "[id='place_bay-2'] .notices");
  check(notice.startsWith("solo con alguien delante"), `${where}: ${notice}`);
  await find_english(page, where);
  await find_axe_violations(page, where);
  const overflow = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  check(overflow <= 0, `${where}: wider than the window by ${overflow} px`);
  if (pictures) await page.screenshot({path: `${pictures}/spanish_${look.width}.png`, fullPage: true});

  await press(page, "#queue tr:has-text('T-000006-4') button.link");
  await page.waitForSelector("dialog[open] .ticket_page");
  await page.$$eval("dialog details", (nodes) => nodes.forEach((node) => { node.open = true; }));
  const ticket = await text_of(page, "dialog");
  for (const part of [
    "Ficha T-000006-4", "101,8 ± 3,2 min", "6,12 ± 0,22 mΩ", "marzo de 2024", "2 de mayo de 2024",
    "bornes dañados", "ácido líquido", "límite de A: 100,0 min; valor 101,8 min", "0,8700: sin decidir",
    "El recibo R-77 ya se presentó",
  ])
    check(ticket.includes(part), `${where}: the ticket says "${part}"`);
  await find_english(page, `${where}, ticket`);
  await find_axe_violations(page, `${where}, ticket`);
  if (pictures) await page.screenshot({path: `${pictures}/spanish_${look.width}_ticket.png`});
  await page.keyboard.press("Escape");

  await page.evaluate(() => localStorage.setItem("leadwright_name", "Ana"));
  await press(page, "[id='place_bay-2'] .buttons button:has-text('precauciones')");
  await find_english(page, `${where}, question`);
  if (pictures) await page.screenshot({path: `${pictures}/spanish_${look.width}_question.png`});
  await page.keyboard.press("Escape");
  await press(page, "#drop_off");
  await find_english(page, `${where}, drop-off`);
  await find_axe_violations(page, `${where}, drop-off`);
  await page.fill("[name=serial]", "EX-1");
  await page.selectOption("[name=chemistry]", "agm");
  await page.selectOption("[name=cells]", "6");
  await page.fill("[name=c20_ah]", "60,5 Ah");
  await page.press("[name=c20_ah]", "Enter");
  await page.waitForSelector("dialog .trouble:has-text('«60,5 Ah» no es un número')");
  if (pictures) await page.screenshot({path: `${pictures}/spanish_${look.width}_drop_off.png`});
  await page.fill("[name=c20_ah]", "60,5");
  const sent = page.waitForRequest((request) => request.method() === "POST", {timeout: 5000});
  await page.press("[name=c20_ah]", "Enter");
  check((await sent).postDataJSON().battery.c20_ah === 60.5, `${where}: a comma is understood`);
  await page.context().close();
}

async function remembers_the_choice(browser, base_url, pictures) {
  const page = await open(browser, base_url, {...wide, locale: "en-US", zone: "America/Denver"});
  check((await text_of(page, "[id='place_bay-1']")).includes("24.6 °C"), "degrees are Celsius unless chosen");
  const clock = await text_of(page, "#clock");
  check(clock.startsWith("Jan 1, 2026, 2:48:00 AM MST"), clock);
  await press(page, "#settings");
  await page.waitForSelector("dialog[open] [name=language]");
  await find_axe_violations(page, "settings");
  if (pictures) await page.screenshot({path: `${pictures}/settings.png`});
  await page.selectOption("[name=language]", "es");
  await page.selectOption("[name=degrees]", "f");
  await Promise.all([page.waitForNavigation(), press(page, "dialog button.strong")]);
  for (const again of ["chosen", "remembered"]) {
    await page.waitForSelector("body:not(.not_live) .card", {timeout: 15000});
    check(await text_of(page, "#live") === "En directo", `the language is ${again}`);
    check((await text_of(page, "[id='place_bay-1']")).includes("76,3 °F"), `the degrees are ${again}`);
    await page.reload({waitUntil: "load"});
  }
  await page.context().close();
  const french = await open(browser, base_url, {...wide, locale: "fr-FR"});
  check(await text_of(french, "#live") === "Live", "a language that is not there becomes English");
  await french.context().close();
}

export async function look_at_languages(browser, base_url, pictures) {
  await weigh_first_load(browser, base_url);
  await speaks_spanish(browser, base_url, wide, pictures);
  await speaks_spanish(browser, base_url, phone, pictures);
  await remembers_the_choice(browser, base_url, pictures);
}
