// SPDX-License-Identifier: Apache-2.0
// Another letter than the bench's own: one person proposes it, a second one confirms it. The bench decides
// who may; this asks and shows.
import {moment} from "/amounts.js";
import {change, say, ticket_path, with_name} from "/api.js";
import {open_dialog} from "/dialog.js";
import {element, field, options, said, section} from "/dom.js";
import {who} from "/people.js";
import {sentence} from "/said.js";
import {t, word_of} from "/words.js";

const letters = ["A", "B", "C", "D", "U"];
const paragraph = (content, name = null) => element("p", {class: name}, content);

// The override that stands, or null.
export const standing_override = (page) => (page.overrides ?? []).find((one) => one.stands) ?? null;

function reason_field() {
  return element(
      "input", {name: "why", required: true, minlength: "1", maxlength: "300", autocomplete: "off"});
}

async function send(page, verb, body, done, then) {
  await change(ticket_path(page.ticket.ticket, verb), body);
  say(done);
  setTimeout(then);
}

function open_proposal(page, then) {
  const {ticket} = page.ticket;
  const stands = page.letter ?? page.grade.letter;
  const others = letters.filter((letter) => letter !== stands);
  const pairs = others.map((letter) => [letter, `${letter}: ${word_of("grade", letter)}`]);
  const letter =
      element("select", {name: "letter", required: true}, ...options([["", t("choose")], ...pairs]));
  const why = reason_field();
  open_dialog({
    title: t("override_title", {ticket, letter: stands}),
    content: [
      paragraph(t("override_means")), field(t("letter"), letter),
      field(t("reason"), why, t("override_why_hint"))
    ],
    buttons: [{label: t("override_propose"), value: "propose", strong: true}],
    act: () => send(
        page, "override", {letter: letter.value, why: why.value.trim()},
        t("override_proposed", {ticket, letter: letter.value}), then),
  });
}

function open_confirmation(page, proposed, then) {
  const {ticket} = page.ticket;
  const {letter, own_letter, own_reason, why, proposed_by} = proposed;
  open_dialog({
    title: t("override_confirm_title", {ticket, letter, own: page.letter}),
    content: [
      paragraph(t("override_by", {letter, by: who(page, proposed_by)})), paragraph(said(why)),
      element(
          "p", {}, t("own_letter_is", {own: own_letter}), " ",
          sentence(page.grade.said?.reason, own_reason)),
      paragraph(t("override_confirm_means"))
    ],
    buttons: [{label: t("override_confirm", {letter}), value: "confirm", strong: true}],
    act: () =>
        send(page, "override/confirm", {letter}, t("override_confirmed", {ticket, letter}), then),
  });
}

function open_withdrawal(page, proposed, then) {
  const {ticket} = page.ticket;
  const why = reason_field();
  open_dialog({
    title: t("override_withdraw_title", {ticket, letter: proposed.letter}),
    content: [field(t("reason"), why)],
    buttons: [{label: t("override_withdraw"), value: "withdraw", strong: true}],
    act: () => send(
        page, "override/withdraw", {why: why.value.trim()}, t("override_withdrawn", {ticket}), then),
  });
}

function history_item(page, one) {
  const settled = one.settled_at ?
      t("override_settled",
        {
          state: word_of("override_state", one.state),
          by: who(page, one.settled_by),
          moment: moment(one.settled_at)
        }) :
      word_of("override_state", one.state);
  const from_to = t("override_words", {own: one.own_letter, letter: one.letter});
  const by = t("override_told", {by: who(page, one.proposed_by), moment: moment(one.proposed_at)});
  return element("li", {}, `${from_to} `, said(one.why), ` ${by}; ${settled}.`);
}

// What the ticket page shows of it; null where there is nothing to show and nothing to ask. `then` shows the
// ticket anew.
export function override_part(page, then) {
  const proposed = page.overrides?.find((one) => one.waits);
  const is_open = page.ticket.state === "graded" && page.grade?.letter !== "F" && !page.faults?.length;
  const all = page.overrides ?? [];
  if (!is_open && all.length === 0) return null;
  const button = (label, open) =>
      element("button", {type: "button", onclick: () => with_name(open)}, label);
  const buttons = !is_open ? [] : proposed ?
      [
        button(
            t("override_confirm", {letter: proposed.letter}),
            () => open_confirmation(page, proposed, then)),
        button(t("override_withdraw"), () => open_withdrawal(page, proposed, then)),
      ] :
      [button(t("override_button"), () => open_proposal(page, then))];
  return section(
      t("override_part"),
      ...(all.length ? [element("ul", {}, ...all.map((one) => history_item(page, one)))] : []),
      ...(proposed ? [paragraph(t("override_waits", {letter: proposed.letter}))] : []),
      element("p", {class: "actions"}, ...buttons));
}
