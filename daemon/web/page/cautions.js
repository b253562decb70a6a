// SPDX-License-Identifier: Apache-2.0
// What a person reads before handling a battery: in the page's words, unless the bench says something else.
import {element} from "/dom.js";
import {bench_language, has_word, word_of} from "/words.js";

const numbers = ["1", "2", "3", "4", "5", "6", "7", "8", "9"];

// One list item each.
export function cautions_of(bench) {
  const theirs = bench?.cautions ?? [];
  const ours = numbers.filter((one) => has_word("caution", one)).map((one) => word_of("caution", one));
  const is_theirs = theirs.length > 0 && (bench_language === null || theirs.length !== ours.length);
  const lang = is_theirs ? bench_language : null;
  return (is_theirs ? theirs : ours).map((text) => element("li", {lang}, text));
}
