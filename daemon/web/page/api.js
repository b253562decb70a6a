// SPDX-License-Identifier: Apache-2.0
// Requests to the bench, and who makes them.
import {open_dialog} from "/dialog.js";
import {element, field, set_said, set_text} from "/dom.js";
import {t} from "/words.js";

const name_key = "leadwright_name";
export const session_path = "/api/v1/session";

export const actor_name = () => localStorage.getItem(name_key) ?? "";

// Our words, then the bench's own.
export function say(ours, theirs = "") {
  set_said(document.getElementById("said"), ours, theirs);
}

export function say_error(error, before = "") {
  const ours = before ? `${before}:` : "";
  if (error.is_of_bench)
    say(ours, error.message);
  else
    say([ours, error.message].filter(Boolean).join(" "));
}

// A part of the page that not everybody opens is fetched when somebody does.
export async function with_view(path, then) {
  let view;
  try {
    view = await import(path);
  } catch {
    return say(t("no_answer"));
  }
  then(view);
}

export function show_actor() {
  const name = actor_name();
  set_text(document.getElementById("who"), name ? t("you", {name}) : t("your_name"));
}

// Asks for the name; `then` runs once it is known.
export function ask_name(then = () => {}) {
  const input = element(
      "input", {name: "name", required: true, maxlength: "40", autocomplete: "name", value: actor_name()});
  open_dialog({
    title: t("who_works"),
    content: [element("p", {}, t("name_is_kept")), field(t("name"), input)],
    buttons: [{label: t("keep_name"), value: "keep", strong: true}],
    act: () => {
      const name = input.value.trim();
      if (!name) throw new Error(t("give_name"));
      localStorage.setItem(name_key, name);
      show_actor();
      setTimeout(then);
    },
  });
}

export function with_name(then) {
  if (actor_name())
    then();
  else
    ask_name(then);
}

// Header values are ASCII: all else goes percent-encoded, and so does "%".
function header_text(text) {
  return text.replace(/[^\x20-\x24\x26-\x7e]+/gu, encodeURIComponent);
}

function as_sentence(problem) {
  const parts = [problem.where, problem.detail ?? problem.title].filter(Boolean);
  return parts.join(": ") + (problem.mend ? `. ${problem.mend}` : "");
}

function refusal(status, problem) {
  const theirs = as_sentence(problem);
  const error = new Error(theirs || t("bench_refused", {status}));
  error.is_of_bench = theirs !== "";
  error.status = status;
  return error;
}

function ask_for_token() {
  if (document.getElementById("dialog").open) return;
  with_view("/sign_in.js", (view) => view.open_sign_in());
}

// The value of an answer. Throws an Error whose message a person can act on.
async function value_of(answer) {
  const text = await answer.text();
  let value = {};
  try {
    value = text ? JSON.parse(text) : {};
  } catch {
    if (answer.ok) throw new Error(t("unreadable"));
  }
  if (answer.status === 401) ask_for_token();
  if (!answer.ok) throw refusal(answer.status, value);
  return value;
}

// Reads something of the bench. Throws like value_of.
export async function read(path) {
  let answer;
  try {
    answer = await fetch(path);
  } catch {
    throw new Error(t("no_answer"));
  }
  return value_of(answer);
}

// All that the bench knows of a ticket.
export async function read_ticket(ticket) {
  const page = await read(`/api/v1/tickets/${encodeURIComponent(ticket)}`);
  if (!page.ticket || !page.battery) throw new Error(t("unreadable"));
  return page;
}

// Sends a change. Throws an Error whose message a person can act on. What is sent again under its old `key`
// is done once.
export async function change(path, body = {}, key = crypto.randomUUID()) {
  const name = actor_name() || "no name given";
  let answer;
  try {
    answer = await fetch(path, {
      method: "POST",
      headers: {
        "Content-Type": "application/json",
        "Leadwright-Actor": header_text(`page: ${name}, unverified`),
        "Idempotency-Key": key,
      },
      body: JSON.stringify(body),
    });
  } catch {
    throw new Error(t("no_answer_to_change"));
  }
  return value_of(answer);
}

export const place_path = (place, verb) => `/api/v1/places/${encodeURIComponent(place)}/${verb}`;
export const ticket_path = (ticket, verb) => `/api/v1/tickets/${encodeURIComponent(ticket)}/${verb}`;
