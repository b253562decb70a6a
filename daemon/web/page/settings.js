// SPDX-License-Identifier: Apache-2.0
// What the reader of this page chose: language and degrees. Kept in this browser.
import {is_fahrenheit, keep_degrees} from "/amounts.js";
import {open_dialog} from "/dialog.js";
import {element, field, options} from "/dom.js";
import {session_line} from "/sign_in.js";
import {keep_language, language, languages, t} from "/words.js";

export function open_settings() {
  const tongue = element(
      "select", {name: "language"},
      ...Object.entries(languages).map(
          ([value, name]) => element("option", {value, lang: value, selected: value === language}, name)));
  const degrees =
      element("select", {name: "degrees"}, ...options([["c", t("celsius")], ["f", t("fahrenheit")]]));
  degrees.value = is_fahrenheit ? "f" : "c";
  const session = element("div");
  session_line().then((line) => session.append(...line)).catch(() => {});
  open_dialog({
    title: t("settings"),
    content: [
      field(t("language"), tongue),
      field(t("degrees"), degrees, t("degrees_hint")),
      element("p", {class: "quiet"}, t("settings_kept")),
      session,
    ],
    buttons: [{label: t("keep_settings"), value: "keep", strong: true}],
    act: () => {
      keep_language(tongue.value);
      keep_degrees(degrees.value);
      location.reload();
    },
  });
}
