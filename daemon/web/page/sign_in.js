// SPDX-License-Identifier: Apache-2.0
// Where the bench asks for tokens: this browser shows one once, and the bench keeps it in a cookie that no
// script can read.
import {read, say_error, session_path} from "/api.js";
import {open_dialog} from "/dialog.js";
import {element, field} from "/dom.js";
import {t} from "/words.js";

const post = {
  "Content-Type": "application/json",
  "Leadwright-Actor": "page",
};

async function begin(token) {
  const headers = {...post, Authorization: `Bearer ${token}`};
  const answer = await fetch(session_path, {method: "POST", headers, body: "{}"});
  if (answer.status === 401) throw new Error(t("token_unknown"));
  if (!answer.ok) throw new Error(t("bench_refused", {status: answer.status}));
  location.reload();
}

export function open_sign_in() {
  const input = element("input", {
    name: "token",
    type: "password",
    required: true,
    maxlength: "100",
    autocomplete: "current-password",
  });
  open_dialog({
    title: t("sign_in"),
    content: [element("p", {}, t("sign_in_how")), field(t("token"), input)],
    buttons: [{label: t("sign_in"), value: "begin", strong: true}],
    act: () => begin(input.value.trim()),
  });
}

async function end() {
  try {
    await fetch(`${session_path}/end`, {method: "POST", headers: post, body: "{}"});
    location.reload();
  } catch (error) {
    say_error(error);
  }
}

// Says whose token this is and lets it go; nothing where the bench asks for none.
export async function session_line() {
  const session = await read(session_path);
  if (!session.tokens) return [];
  const who = element("p", {}, t("signed_in", {holder: session.holder}));
  return [who, element("button", {type: "button", onclick: end}, t("sign_out"))];
}
