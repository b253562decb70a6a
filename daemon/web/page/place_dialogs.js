// SPDX-License-Identifier: Apache-2.0
// What a place asks of a person, and how a person stops it. How one starts it: start.js.
import {change, place_path, say} from "/api.js";
import {open_dialog} from "/dialog.js";
import {element, field, options, said} from "/dom.js";
import {hand_in, photo_input} from "/photos.js";
import {is_known, sentence} from "/said.js";
import {bench_language, has_word, t, word_of} from "/words.js";

async function send(place, verb, body, done) {
  await change(place_path(place, verb), body);
  say(done);
}

export function open_stop(place) {
  const reason = element("input", {name: "reason", required: true, maxlength: "200", autocomplete: "off"});
  open_dialog({
    title: t("stop_place", {place: place.name}),
    content: [element("p", {}, t("stop_means")), field(t("reason"), reason)],
    buttons: [
      {label: t("stop_this_place"), value: "stop", strong: true},
      ...(place.paused ? [] : [{label: t("only_pause"), value: "pause"}]),
    ],
    cancel: t("let_it_run"),
    act: (verb) => {
      const named = {place: place.name};
      const done = verb === "stop" ? t("is_stopped", named) : t("is_paused", named);
      return send(place.name, verb, {why: reason.value.trim()}, done);
    },
  });
}

// What stands still goes on only when a person has looked at it.
export function open_resume(place) {
  const reason = element("input", {name: "reason", required: true, maxlength: "200", autocomplete: "off"});
  open_dialog({
    title: t("resume_place", {place: place.name}),
    content: [element("p", {}, sentence(place.said, place.needs)), field(t("what_you_saw"), reason)],
    buttons: [{label: t("let_it_go_on"), value: "resume", strong: true}],
    act: () => send(place.name, "resume", {why: reason.value.trim()}, t("goes_on", {place: place.name})),
  });
}

export function open_question(place) {
  const {of, text, said: phrases, takes_photo} = place.ask;
  const is_ours = bench_language && has_word("ask_text", of) && (of === "trip" || !is_known(phrases));
  const ours = is_ours ? [element("p", {}, word_of("ask_text", of))] : [];
  const lines = String(text ?? "").split("\n").filter(Boolean).map((line) => element("p", {}, said(line)));
  const theirs = is_known(phrases) ? [element("p", {}, sentence(phrases, text))] : lines;
  const content = [...ours, ...theirs];
  const title = `${place.name}: ${word_of("ask_title", of)}`;
  const acknowledge = (body) =>
      send(place.name, "acknowledge", {of, ...body}, t("noted", {place: place.name}));
  if (of === "same_battery") {
    open_dialog({
      title,
      content,
      buttons: [{label: t("same"), value: "yes", strong: true}, {label: t("another"), value: "no"}],
      act: (answer) => acknowledge({answer}),
    });
  } else if (of === "cells") {
    const cells = element(
        "select", {name: "cells", required: true},
        ...options([["", t("choose")], ["6", t("cells_6")], ["3", t("cells_3")]]));
    open_dialog({
      title,
      content: [...content, field(t("cells"), cells, t("count_hint"))],
      buttons: [{label: t("this_many"), value: "cells", strong: true}],
      act: () => acknowledge({cells: Number(cells.value)}),
    });
  } else if (of === "question") {
    const answer = element("input", {name: "answer", required: true, autocomplete: "off", maxlength: "200"});
    const photo = photo_input(false);
    const more = takes_photo && place.ticket ? [field(t("photo"), photo, t("photo_hint"))] : [];
    open_dialog({
      title,
      content: [...content, field(t("answer"), answer), ...more],
      buttons: [{label: t("answer"), value: "answer", strong: true}],
      // The photo first: the answer ends the question that it belongs to.
      act: async () => {
        if (more.length) await hand_in(place.ticket, photo, "");
        await acknowledge({answer: answer.value.trim()});
      },
    });
  } else {
    open_dialog({
      title,
      content,
      buttons: [{label: word_of("ask_done", of), value: "yes", strong: true}],
      act: () => acknowledge({}),
    });
  }
}
