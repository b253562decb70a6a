// SPDX-License-Identifier: Apache-2.0
// Photos: what is sent of a picture that is too large, with a ticket and with the answer to a question.
import {readFileSync} from "node:fs";
import {check, find_axe_violations, open} from "./browser.mjs";

const look = {name: "photos", width: 1600, height: 1000, scheme: "light", kept: {leadwright_name: "Ana"}};
const phone = {...look, name: "photos_phone", width: 320, height: 700, scheme: "dark", locale: "es-ES"};
const path = "/api/v1/tickets/T-000006-4";
const canned = JSON.parse(readFileSync(new URL("ticket.json", import.meta.url), "utf8"));
const kept = {photo: "H-000001", ticket: "T-000006-4", run: null, about: "the <b>label</b>",
  at: "2026-01-01T07:00:00Z", bytes: 230};
const erased = {...kept, photo: "H-000002", about: "", bytes: 0};

const fulfil = (value) => (route) => route.fulfill(
  {contentType: "application/json", body: JSON.stringify(value)});

// A picture of noise, as large as a camera's, which no encoder makes small.
async function noisy_picture(page) {
  const base64 = await page.evaluate(async () => {
    const canvas = new OffscreenCanvas(2400, 1600);
    const context = canvas.getContext("2d");
    const noise = context.createImageData(2400, 1600);
    for (let i = 0, state = 1; i < noise.data.length; i += 1) {
      state = (state * 48271) % 2147483647;
      noise.data[i] = i % 4 === 3 ? 255 : state % 256;
    }
    context.putImageData(noise, 0, 0);
    const bytes = new Uint8Array(await (await canvas.convertToBlob({type: "image/png"})).arrayBuffer());
    let text = "";
    for (let i = 0; i < bytes.length; i += 4096) text += String.fromCharCode(...bytes.subarray(i, i + 4096));
    return btoa(text);
  });
  return {name: "camera.png", mimeType: "image/png", buffer: Buffer.from(base64, "base64")};
}

function check_picture(body, where) {
  const jpeg = Buffer.from(body.jpeg, "base64");
  check(jpeg.length <= 262144, `${where}: ${jpeg.length} bytes are few enough`);
  check(jpeg[0] === 0xff && jpeg[1] === 0xd8, `${where}: it is a JPEG`);
}

async function sent_photo(page, ticket, act) {
  const sent = page.waitForRequest((one) => one.url().endsWith(`/tickets/${ticket}/photos`));
  await act();
  return (await sent).postDataJSON();
}

async function show(page) {
  const square = readFileSync(new URL("../fuzz/corpus/jpeg/grey_square", import.meta.url));
  await page.route("**/api/v1/photos/H-000001", (route) => route.fulfill(
    {contentType: "image/jpeg", body: square}));
  await page.route(`**${path}`, fulfil({...canned, photos: [kept, erased]}));
  await page.focus("#queue tr:has-text('T-000006-4') button.link");
  await page.keyboard.press("Enter");
  await page.waitForSelector("dialog[open] .ticket_page");
}

async function keep_and_erase(browser, base_url, pictures) {
  const page = await open(browser, base_url, look);
  await show(page);
  check(await page.getAttribute("dialog img.photo", "alt") === kept.about, "a photo says what it shows");
  await page.locator("dialog img.photo").scrollIntoViewIfNeeded();
  await page.waitForFunction(() => document.querySelector("dialog img.photo").naturalWidth === 8);
  check((await page.textContent("dialog")).includes("The picture is erased."), "an erased one says so");
  await find_axe_violations(page, "photos of a ticket");
  if (pictures) await page.screenshot({path: `${pictures}/photos.png`});
  await page.route(`**${path}/photos`, fulfil(kept));
  await page.click("dialog button:has-text('Add a photo')");
  await page.setInputFiles("dialog [name=photo]", await noisy_picture(page));
  await page.fill("dialog [name=about]", "the posts");
  await find_axe_violations(page, "adding a photo");
  const body = await sent_photo(page, "T-000006-4", () => page.click("dialog button:has-text('Keep it')"));
  check(body.about === "the posts", "what it shows goes with it");
  check_picture(body, "a photo of a ticket");
  await page.waitForSelector("dialog[open] .ticket_page");
  await page.route("**/api/v1/photos/H-000001/erase", fulfil({...kept, bytes: 0}));
  await page.click("dialog button:has-text('Erase H-000001')");
  await page.fill("dialog [name=why]", "it shows a person");
  const erasure = page.waitForRequest((one) => one.url().endsWith("/photos/H-000001/erase"));
  await page.click("dialog button:has-text('Erase it')");
  check((await erasure).postData() === '{"why":"it shows a person"}', "the reason goes with the erasure");
  await page.waitForSelector("dialog[open] .ticket_page");
  await page.context().close();
}

async function what_is_no_picture(browser, base_url) {
  const page = await open(browser, base_url, look);
  await show(page);
  await page.click("dialog button:has-text('Add a photo')");
  const text = {name: "label.jpg", mimeType: "image/jpeg", buffer: Buffer.from("no picture")};
  await page.setInputFiles("dialog [name=photo]", text);
  await page.click("dialog button:has-text('Keep it')");
  await page.waitForSelector("dialog .trouble:has-text('This picture can')");
  await page.context().close();
}

async function on_a_phone(browser, base_url, pictures) {
  const page = await open(browser, base_url, phone);
  await show(page);
  await page.locator("dialog img.photo").scrollIntoViewIfNeeded();
  await find_axe_violations(page, "photos on a phone");
  if (pictures) await page.screenshot({path: `${pictures}/photos_phone.png`});
  await page.context().close();
}

// The photo goes before the answer, which ends the question that it belongs to.
async function with_an_answer(browser, base_url) {
  const page = await open(browser, base_url, look);
  await page.evaluate(async () => {
    const {open_question} = await import("/place_dialogs.js");
    const ask = {of: "question", text: "Is it swollen? (yes or no)", takes_photo: true};
    open_question({name: "bay-1", ticket: "T-000006-4", ask});
  });
  const order = [];
  await page.route(`**${path}/photos`, (route) => {
    order.push("photo");
    return fulfil(kept)(route);
  });
  await page.route("**/api/v1/places/bay-1/acknowledge", (route) => {
    order.push(route.request().postData());
    return fulfil({})(route);
  });
  await find_axe_violations(page, "a question that takes a photo");
  await page.fill("dialog [name=answer]", "no");
  await page.setInputFiles("dialog [name=photo]", await noisy_picture(page));
  const body = await sent_photo(page, "T-000006-4", () => page.keyboard.press("Enter"));
  check_picture(body, "a photo with an answer");
  await page.waitForFunction(() => !document.querySelector("dialog[open]"));
  check(order.join() === 'photo,{"of":"question","answer":"no"}', `photo, then answer: ${order}`);
  await page.context().close();
}

export async function look_at_photos(browser, base_url, pictures) {
  await keep_and_erase(browser, base_url, pictures);
  await what_is_no_picture(browser, base_url);
  await with_an_answer(browser, base_url);
  await on_a_phone(browser, base_url, pictures);
}
