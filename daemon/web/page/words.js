// SPDX-License-Identifier: Apache-2.0
// The page's words in the reader's language: of the page (words_*.js), of the codes that the bench sends
// (codes_*.js) and of single views. tests/page/words.mjs compares the languages with each other, with the
// page and with the bench.

const language_key = "leadwright_language";
export const languages = {
  en: "English",
  es: "Español"
};
const primary = (tag) => tag.toLowerCase().split("-")[0];

export const language = [localStorage.getItem(language_key), ...navigator.languages.map(primary)].find(
                            (one) => Object.hasOwn(languages, one)) ??
    "en";
// Dates and decimals as the reader's country writes them.
export const locale = navigator.languages.find((tag) => primary(tag) === language) ?? language;
// What the bench says in sentences is English: marked as such where the page is not. Null: as the page.
export const bench_language = language === "en" ? null : "en";

const tables = ["words", "acid", "codes", "fitting", "intake", "work", "said", "course", "rehearsals"];
const loaded = await Promise.all(tables.map((table) => import(`/${table}_${language}.js`)));
const words = Object.assign({}, ...loaded.map((table) => table.words));
const plurals = new Intl.PluralRules(locale);

export function keep_language(chosen) {
  localStorage.setItem(language_key, chosen);
}

const filled = (text, values) => text.replace(/\{(\w+)\}/gu, (hole, name) => String(values[name] ?? hole));

// The text of a key, its {holes} filled.
export function t(key, values = {}) {
  return filled(words[key] ?? key, values);
}

// A code of the bench as a person reads it: "wants_person", or the table's word for it.
export function word_of(family, code, values = {}) {
  if (typeof code !== "string") return "";
  return filled(words[`${family}.${code}`] ?? code.replaceAll("_", " "), values);
}

// The same as texts and holes in turns, each hole as `fill` fills it by its name.
export function parts_of(family, code, fill) {
  const pieces = words[`${family}.${code}`].split(/\{(\w+)\}/u);
  return pieces.map((piece, i) => i % 2 === 0 ? piece : fill(piece)).filter((piece) => piece !== "");
}

// Whether the table has a word of its own for a code.
export const has_word = (family, code) => Object.hasOwn(words, `${family}.${code}`);

// A battery's label begins with the word of its chemistry.
export function label_words(label) {
  const [first] = (label ?? "").split(" ", 1);
  return has_word("chemistry", first) ? word_of("chemistry", first) + label.slice(first.length) : label ?? "";
}

// "1 ticket", "2 tickets".
export function count_of(family, count, values = {}) {
  const form = `${family}.${plurals.select(count)}`;
  return filled(words[form] ?? words[`${family}.other`], values);
}
