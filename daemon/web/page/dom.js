// SPDX-License-Identifier: Apache-2.0
// Elements. Text goes in as text nodes only.
import {bench_language, t} from "/words.js";

export function element(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name === "onclick" || name === "onsubmit" || name === "onchange")
      node[name] = value;
    else if (value === true)
      node.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined)
      node.setAttribute(name, value);
  }
  node.append(...children.filter((child) => child !== null && child !== undefined));
  return node;
}

// Writes only what changed, so that a selection or a screen reader is left alone.
export function set_text(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

export function set_hidden(node, is_hidden) {
  if (node.hidden !== is_hidden) node.hidden = is_hidden;
}

// A sentence of the bench, in its language.
export const said = (text) => text ? element("span", {lang: bench_language}, text) : null;

// Our words, then the bench's.
export function set_said(node, ours, theirs = "") {
  const space = ours && theirs ? " " : "";
  if (node.textContent === `${ours}${space}${theirs}`) return;
  node.replaceChildren(...[ours + space, said(theirs)].filter(Boolean));
}

// Where the page speaks the bench's language, the bench's sentence says all.
export function set_both(node, ours, theirs = "") {
  set_said(node, theirs && bench_language === null ? "" : ours, theirs);
}

export function set_list(node, texts) {
  set_items(node, texts.map((text) => element("li", {}, text)));
}

export function set_items(node, items) {
  const same = node.children.length === items.length &&
      items.every((item, i) => node.children[i].textContent === item.textContent);
  if (!same) node.replaceChildren(...items);
}

// Writes the words into the elements that name them.
export function fill_words(root) {
  const write = {
    text: (node, text) => set_text(node, text),
    label: (node, text) => node.setAttribute("aria-label", text),
    hint: (node, text) => node.setAttribute("placeholder", text),
  };
  for (const [where, put] of Object.entries(write)) {
    const name = `data-${where}`;
    for (const node of root.querySelectorAll(`[${name}]`)) put(node, t(node.getAttribute(name)));
  }
}

export function field(label, control, hint) {
  const node = element("label", {class: "field"}, element("span", {class: "field_name"}, label), control);
  if (hint) node.append(element("span", {class: "hint"}, hint));
  return node;
}

// Why something failed: in the bench's words, or in ours.
export function set_error(node, error) {
  set_said(node, ...(error.is_of_bench ? ["", error.message] : [error.message]));
}

// What Enter does in a field, in place of sending its form: a scanner ends each scan with it.
export function on_enter(control, act) {
  control.addEventListener("keydown", (event) => {
    if (event.key !== "Enter") return;
    event.preventDefault();
    act();
  });
}

export function options(pairs) {
  return pairs.map(([value, text]) => element("option", {value}, text));
}

export const text_of = (form, name) => form.elements[name].value.trim();

export function group(title, ...children) {
  return element("fieldset", {}, element("legend", {}, title), ...children);
}

export function section(title, ...children) {
  return element("section", {"aria-label": title}, element("h3", {}, title), ...children);
}

// "key: value" for what is there; null if nothing is.
export function facts(pairs) {
  const there = pairs.filter(([, value]) => value !== null && value !== undefined && value !== "");
  if (there.length === 0) return null;
  const content = (value) => value instanceof Node ? value : String(value);
  const parts =
      there.flatMap(([name, value]) => [element("dt", {}, name), element("dd", {}, content(value))]);
  return element("dl", {class: "facts_list"}, ...parts);
}
