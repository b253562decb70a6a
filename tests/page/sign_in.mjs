// SPDX-License-Identifier: Apache-2.0
// A bench that asks for tokens: the page asks for one once, shows it to the bench, and lets it go again.
import {check, find_axe_violations, open} from "./browser.mjs";

const look = {name: "sign in", width: 1200, height: 900, scheme: "light"};
const problem = JSON.stringify({title: "Unauthorized", status: 401, detail: "no token"});

// Knows one token. Says what was asked of the session.
async function ask_for_tokens(page) {
  const asked = [];
  let is_in = false;
  await page.route("**/api/v1/session**", (route) => {
    const request = route.request();
    if (request.method() === "POST") {
      asked.push(new URL(request.url()).pathname);
      is_in = request.headers().authorization === "Bearer lwt_right";
    }
    const ends = request.url().endsWith("/end");
    if (!is_in && !ends)
      return route.fulfill({status: 401, contentType: "application/problem+json", body: problem});
    const session = {holder: ends ? null : "counter", rank: ends ? null : "operator", tokens: true};
    return route.fulfill({contentType: "application/json", body: JSON.stringify(session)});
  });
  await page.route("**/api/v1/events", (route) => is_in ?
    route.fallback() :
    route.fulfill({status: 401, contentType: "application/problem+json", body: problem}));
  return asked;
}

async function show_token(page, token) {
  await page.fill("dialog [name=token]", token);
  await page.keyboard.press("Enter");
}

export async function look_at_sign_in(browser, base_url, pictures) {
  const page = await open(browser, base_url, look);
  const asked = await ask_for_tokens(page);
  await page.reload({waitUntil: "load"});
  await page.waitForSelector("dialog[open] [name=token]", {timeout: 5000});
  await find_axe_violations(page, "signing in");
  if (pictures) await page.screenshot({path: `${pictures}/sign_in.png`});
  await show_token(page, "lwt_wrong");
  await page.waitForSelector("dialog [role=alert]:has-text('does not know this token')");
  await show_token(page, "lwt_right");
  await page.waitForSelector("body:not(.not_live) .card", {timeout: 15000});
  check(await page.$("dialog[open]") === null, "who is signed in is asked for nothing");
  await page.click("#settings");
  await page.waitForSelector("dialog[open] :text('Signed in with the token \"counter\"')");
  await page.click("dialog button:has-text('Sign out')");
  await page.waitForSelector("dialog[open] [name=token]", {timeout: 5000});
  check(asked.join(" ") === "/api/v1/session /api/v1/session /api/v1/session/end", `asked: ${asked}`);
  await page.context().close();
}
