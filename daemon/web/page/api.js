// SPDX-License-Identifier: Apache-2.0
// Requests to the bench, and who makes them.
import {open_dialog} from "/dialog.js";
import {element, field, set_text} from "/dom.js";

const name_key = "leadwright_name";

export const actor_name = () => localStorage.getItem(name_key) ?? "";

export function say(text) {
  set_text(document.getElementById("said"), text);
}

export function show_actor() {
  const name = actor_name();
  set_text(document.getElementById("who"), name ? `You: ${name}` : "Your name");
}

// Asks for the name; `then` runs once it is known.
export function ask_name(then = () => {}) {
  const input = element(
      "input", {name: "name", required: true, maxlength: "40", autocomplete: "name", value: actor_name()});
  open_dialog({
    title: "Who works at this page?",
    content: [
      element(
          "p", {},
          "Every change is written down with this name. It is kept in this browser and is not verified."),
      field("Name", input),
    ],
    buttons: [{label: "Keep this name", value: "keep", strong: true}],
    act: () => {
      const name = input.value.trim();
      if (!name) throw new Error("Give a name.");
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

// The value of an answer. Throws an Error whose message a person can act on.
async function value_of(answer) {
  const text = await answer.text();
  let value = {};
  try {
    value = text ? JSON.parse(text) : {};
  } catch {
    if (answer.ok) throw new Error("The bench's answer can't be read.");
  }
  if (!answer.ok) throw new Error(as_sentence(value) || `The bench refused (${answer.status}).`);
  return value;
}

// Reads something of the bench. Throws like value_of.
export async function read(path) {
  let answer;
  try {
    answer = await fetch(path);
  } catch {
    throw new Error("The bench does not answer.");
  }
  return value_of(answer);
}

// Sends a change. Throws an Error whose message a person can act on.
export async function change(path, body = {}) {
  const name = actor_name() || "no name given";
  let answer;
  try {
    answer = await fetch(path, {
      method: "POST",
      headers: {
        "Content-Type": "application/json",
        "Leadwright-Actor": header_text(`page: ${name}, unverified`),
        "Idempotency-Key": crypto.randomUUID(),
      },
      body: JSON.stringify(body),
    });
  } catch {
    throw new Error("The bench does not answer. Nothing is known about whether this was done.");
  }
  return value_of(answer);
}

export const place_path = (place, verb) => `/api/v1/places/${encodeURIComponent(place)}/${verb}`;
export const ticket_path = (ticket, verb) => `/api/v1/tickets/${encodeURIComponent(ticket)}/${verb}`;
