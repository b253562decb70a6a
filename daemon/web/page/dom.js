// SPDX-License-Identifier: Apache-2.0
// Elements and words for amounts. Text goes in as text nodes only.

export function element(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name === "onclick" || name === "onsubmit")
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

export function set_list(node, texts) {
  const same = node.children.length === texts.length &&
      texts.every((text, i) => node.children[i].textContent === text);
  if (!same) node.replaceChildren(...texts.map((text) => element("li", {}, text)));
}

const is_number = (value) => typeof value === "number" && Number.isFinite(value);

export function amount(value, digits, unit) {
  if (!is_number(value)) return `– ${unit}`;
  const text = value.toFixed(digits);
  return `${Number(text) === 0 ? text.replace("-", "") : text} ${unit}`;
}

export function duration(seconds) {
  if (!is_number(seconds)) return "";
  const s = Math.max(0, Math.round(seconds));
  if (s < 90) return `${s} s`;
  const minutes = Math.round(s / 60);
  if (minutes < 60) return `${minutes} min`;
  return `${Math.floor(minutes / 60)} h ${String(minutes % 60).padStart(2, "0")} min`;
}

export function moment(text) {
  return typeof text === "string" ? text.replace("T", " ").replace("Z", " UTC") : "";
}

// "wants_person" as a person reads it.
export function plain(word) {
  return typeof word === "string" ? word.replaceAll("_", " ") : "";
}

const kind_words = {
  bay: "test bay",
  charging: "charging place",
  shelf: "shelf"
};
export const kind_word = (kind) => kind_words[kind] ?? plain(kind);

export function field(label, control, hint) {
  const node = element("label", {class: "field"}, element("span", {class: "field_name"}, label), control);
  if (hint) node.append(element("span", {class: "hint"}, hint));
  return node;
}

export function options(pairs) {
  return pairs.map(([value, text]) => element("option", {value}, text));
}

export function section(title, ...children) {
  return element("section", {"aria-label": title}, element("h3", {}, title), ...children);
}

// "key: value" for what is there; null if nothing is.
export function facts(pairs) {
  const there = pairs.filter(([, value]) => value !== null && value !== undefined && value !== "");
  if (there.length === 0) return null;
  const parts = there.flatMap(([name, value]) => [element("dt", {}, name), element("dd", {}, String(value))]);
  return element("dl", {class: "facts_list"}, ...parts);
}
