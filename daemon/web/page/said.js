// SPDX-License-Identifier: Apache-2.0
// A sentence of the bench in the reader's language, by its phrases.
import {day, degree_unit, in_degrees, is_fahrenheit, kelvin_in_degrees, moment, number} from "/amounts.js";
import {element, said} from "/dom.js";
import {has_word, parts_of, word_of} from "/words.js";

function amount_words({value, decimals, unit}) {
  if (unit === "degC") return `${number(in_degrees(value), decimals)} ${degree_unit}`;
  if (unit === "K" && is_fahrenheit) return `${number(value * kelvin_in_degrees, decimals)} ${degree_unit}`;
  const shown = has_word("unit", unit) ? word_of("unit", unit) : unit;
  return `${number(value, decimals)} ${shown}`.trim();
}

// What the bench itself gives a name: the same in every language.
const names = ["instrument", "place", "run", "size", "twin"];

// A code by its word, a date as it is written here; what a person or a file says stays as it is.
function value_words(name, value) {
  if (typeof value !== "string") return amount_words(value ?? {value: Number.NaN, decimals: 0, unit: ""});
  if (name === "fault") return word_of("fault", value);
  if (name === "chemistry") return word_of("chemistry", value);
  if (name === "procedure" && has_word("procedure", value)) return word_of("procedure", value);
  if (names.includes(name)) return value;
  const shown = name === "until" ? moment(value) : day(value);
  return shown === value && value.length > 1 ? said(value) : shown;
}

// Whether the page has words for all of it.
export const is_known = (phrases) => phrases?.length > 0 && phrases.every(({code}) => has_word("said", code));

// A span; as the bench says it where the page lacks words. Null of no sentence.
export function sentence(phrases, text) {
  if (!text) return null;
  if (!is_known(phrases)) return said(text);
  const parts = ({code, values}) => parts_of("said", code, (name) => value_words(name, values[name]));
  return element("span", {}, ...phrases.flatMap(parts));
}
