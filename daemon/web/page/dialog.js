// SPDX-License-Identifier: Apache-2.0
// The one dialog of the page.
import {element, set_error, set_said} from "/dom.js";
import {t} from "/words.js";

// Opens the dialog. `buttons`: [{label, value, strong, is_first}]: that has the focus, whatever can
// be filled in before it. `act(value, form)` may return a promise; its error
// text shows in the dialog, which stays open. Closes when `act` succeeds unless it `stays`, on Cancel and on
// Escape. A wide one can be printed.
export function open_dialog(
    {title, content, buttons, act, cancel = t("cancel"), wide = false, stays = false}) {
  const dialog = document.getElementById("dialog");
  if (dialog.open) dialog.close();
  const trouble = element("p", {class: "trouble", role: "alert"});
  const form = element("form", {method: "dialog"});
  const row = element("div", {class: "buttons"});
  for (const button of buttons) {
    row.append(element(
        "button", {
          type: "submit",
          value: button.value,
          class: button.strong ? "strong" : null,
          autofocus: Boolean(button.is_first)
        },
        button.label));
  }
  row.append(element("button", {type: "button", onclick: () => dialog.close()}, cancel));
  if (wide) row.append(element("button", {type: "button", onclick: () => window.print()}, t("print")));
  // Where there is nothing to fill in, reading begins at the title.
  const heading =
      buttons.length ? {id: "dialog_title"} : {id: "dialog_title", tabindex: "-1", autofocus: true};
  form.append(element("h2", heading, title), ...content, trouble, row);
  form.onsubmit = async (event) => {
    event.preventDefault();
    set_said(trouble, "");
    const chosen = event.submitter?.value ?? buttons[0].value;
    try {
      for (const button of row.children) button.disabled = true;
      await act(chosen, form);
      if (!stays) dialog.close();
    } catch (error) {
      set_error(trouble, error);
      trouble.scrollIntoView({block: "nearest"});
    } finally {
      for (const button of row.children) button.disabled = false;
      // A button that was switched off has lost the focus.
      if (dialog.open && document.activeElement === document.body) event.submitter?.focus();
    }
  };
  dialog.classList.toggle("wide", wide);
  dialog.replaceChildren(form);
  dialog.showModal();
}
