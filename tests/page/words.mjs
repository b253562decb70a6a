// SPDX-License-Identifier: Apache-2.0
// node words.mjs: every word of the page exists in every language, and no word is left over. Reads the page's
// and the daemon's sources, and nothing else. Exits 0 if every check holds; each failed one is a line.
import {readdirSync, readFileSync} from "node:fs";

const root = new URL("../../", import.meta.url);
const text_of = (path) => readFileSync(new URL(path, root), "utf8");
const page_folder = "daemon/web/page/";
const languages = ["en", "es"];
const is_table = (name) => /_(?:en|es)\.js$/u.test(name);

let failures = 0;
let checks = 0;
function check(holds, what) {
  checks += 1;
  if (holds) return;
  failures += 1;
  console.error(`failed: ${what}`);
}

// A table as it is loaded, and its keys as they are written, where one may stand twice.
async function table_of(name) {
  const text = text_of(page_folder + name);
  const url = `data:text/javascript;base64,${Buffer.from(text).toString("base64")}`;
  const table = (await import(url)).words;
  const written = [...text.matchAll(/^ {2}(?:"([^"]+)"|(\w+)):/gmu)].map((found) => found[1] ?? found[2]);
  check(written.length === new Set(written).size && written.length === Object.keys(table).length,
        `${name}: each key stands once at the beginning of a line`);
  return table;
}

const names_in = (text) => [...text.matchAll(/"([^"]+)"/gu)].map((found) => found[1]);

// What stands between two texts of a source.
function part(path, from, to) {
  const text = text_of(path);
  const start = text.indexOf(from);
  check(start >= 0, `${path} has "${from}"`);
  return text.slice(start, text.indexOf(to, start + from.length));
}

// What the bench says in phrases, by code: each stands in a call of say() with its English.
function phrases_of_the_bench() {
  const folder = new URL("daemon/", root);
  const is_of_others = (name) => name === "battery/said.cpp" || name.startsWith("web/");
  const sources = readdirSync(folder, {recursive: true}).filter(
      (name) => name.endsWith(".cpp") && !is_of_others(name));
  const call = /\bsay\(\s*"(\w+)",\s*((?:"(?:[^"\\]|\\.)*"\s*)+)/gu;
  const phrases = {};
  for (const source of sources) {
    const text = text_of(`daemon/${source}`);
    const calls = [...text.matchAll(call)];
    check(calls.length === [...text.matchAll(/\bsay\(/gu)].length,
          `${source}: each say() has its code and its English written out`);
    for (const [, code, literals] of calls) {
      const pieces = [...literals.matchAll(/"((?:[^"\\]|\\.)*)"/gu)].map((found) => found[1]);
      const english = pieces.join("").replaceAll("\\\"", "\"");
      check((phrases[code] ?? english) === english, `${source}: ${code} says the same everywhere`);
      phrases[code] = english;
    }
  }
  return phrases;
}
const said_of_the_bench = phrases_of_the_bench();

// Where the bench's codes are written, by the family that must have a word for each.
function codes_of_the_bench() {
  const ticket = "daemon/battery/ticket.cpp";
  const table = (name) => names_in(part(ticket, `${name}{{`, "}};"));
  const procedures = readdirSync(new URL("config/procedures/", root)).map(
      (file) => /^name = "(.+)"$/mu.exec(text_of(`config/procedures/${file}`))[1]);
  const asks = names_in(part("daemon/place/admission.cpp", "words_of_asks{", "};"));
  const activities = names_in(part("daemon/place/place.cpp", "words{\"idle\"", "};"));
  const kinds = names_in(part("daemon/settings/settings.cpp", "word(PlaceKind kind)", "\n}"));
  const chemistries = names_in(part("daemon/battery/nameplate.cpp", "chemistry_words{{", "}};"));
  const returned = (path, of) => names_in(part(path, `word(${of}`, "\n}")).filter((one) => one !== "?");
  const fitting = "daemon/battery/fitting.cpp";
  const words_at = (path, of) => names_in(part(path, `word(${of}`, "\n}"));
  const special_dialogs = ["same_battery", "cells", "question"];
  return {
    activity: activities,
    doing: activities.filter((one) => one !== "running"),
    ask_button: asks,
    ask_text: asks,
    ask_title: asks,
    ask_done: asks.filter((one) => !special_dialogs.includes(one)),
    chemistry: chemistries,
    chemistry_long: chemistries,
    closing: table("closing_words"),
    drain: words_at(fitting, "DrainSays says)"),
    fault: table("fault_words"),
    fit_of: words_at(fitting, "FitOf of)"),
    fit_outcome: words_at(fitting, "FitOutcome outcome)"),
    monitor_says: words_at(fitting, "MonitorSays says)"),
    post: names_in(part("daemon/store/label_reader.cpp", "post_words() {", "};")),
    running: words_at(fitting, "RunningSays says)"),
    side: names_in(part("daemon/store/label_reader.cpp", "plus_words() {", "};")),
    verdict: words_at(fitting, "FittingVerdict verdict)"),
    kind: kinds,
    at_kind: kinds,
    to_kind: kinds,
    link: returned("drivers/instrument.cpp", "LinkState state)"),
    measurand: table("measurand_words"),
    needs: returned("daemon/queue/needs.cpp", "NeedsOf of)"),
    override_state: words_at("daemon/battery/grade_override.cpp", "OverrideState state)"),
    said: Object.keys(said_of_the_bench),
    procedure: procedures,
    role: names_in(part("drivers/profile.cpp", "word(Role role)", "\n}")),
    run_outcome: table("outcome_words"),
    state: table("state_words"),
  };
}

// Families whose codes are the page's own, with the file that lists them.
function codes_of_the_page() {
  const signs = names_in(part(`${page_folder}battery_form.js`, "export const signs = [", "];"));
  return {
    age: ["one", "other"],
    batch: ["ticket", "unsafe", "not_lead", "too_low", "twice"],
    batch_said: ["one", "other"],
    caution: names_in(part(`${page_folder}cautions.js`, "const numbers = [", "];")),
    grade: [..."ABCDFU"],
    sign: signs,
    sign_sentence: signs,
    tickets: ["one", "other"],
    tickets_of: ["one", "other"],
    unchecked: ["one", "other"],
    unit: ["day", "days", "mohm"],
  };
}

function used_keys(sources) {
  const used = new Set();
  for (const text of sources) {
    for (const found of text.matchAll(/\bt\(\s*"([^"]+)"/gu)) used.add(found[1]);
    for (const found of text.matchAll(/\bdata-(?:text|label|hint)="([^"]+)"/gu)) used.add(found[1]);
  }
  return used;
}

function used_families(sources) {
  const call = /\b(?:word_of|has_word|parts_of|count_of)\(\s*"([^"]+)"/gu;
  return new Set(sources.flatMap((text) => [...text.matchAll(call)].map((found) => found[1])));
}

const holes_of = (text) => [...new Set(text.match(/\{\w+\}/gu) ?? [])].sort().join(" ");

function compare(one, other, name) {
  for (const key of Object.keys(one)) {
    check(Object.hasOwn(other, key), `${name}: no word for ${key}`);
    check(holes_of(one[key]) === holes_of(other[key] ?? ""), `${name}: ${key} has other holes`);
  }
  for (const key of Object.keys(other)) check(Object.hasOwn(one, key), `${name}: ${key} is in no other`);
  const is_sentence = (text) => text.trim().split(/\s+/u).length > 3;
  for (const [key, text] of Object.entries(other)) {
    check(text.trim() !== "", `${name}: ${key} is empty`);
    const may_be_the_same = !is_sentence(text) || holes_of(text) !== "";
    check(may_be_the_same || text !== one[key], `${name}: ${key} is not translated`);
  }
}

// A sentence in the code is one that nobody translates.
function find_sentences(name, text) {
  const code = text.replace(/^\s*(?:\/\/|import ).*$/gmu, "").replace(/\b(?:t|word_of)\(\s*"[^"]*"/gu, "");
  const said_to_the_bench = ["Stop all pressed on the page", "no name given"];
  for (const found of code.matchAll(/"([^"\n]*)"|`([^`]*)`/gu)) {
    const literal = (found[1] ?? found[2]).replace(/\$\{[^}]*\}/gu, "");
    const is_sentence = /[A-Z]?[a-z]{2,} [a-z]{2,}/u.test(literal) && !said_to_the_bench.includes(literal);
    const is_a_class = /^(?:facts|verdict|card|drop_off|sideways)/u.test(literal);
    const is_for_the_machine = is_a_class || /^page: |[{=[\]]|,?\s*unverified/u.test(literal);
    check(!is_sentence || is_for_the_machine, `${name}: a sentence in the code: "${literal}"`);
  }
}

const names = readdirSync(new URL(page_folder, root)).filter((name) => /\.(?:js|html)$/u.test(name));
const is_code = (key) => key.includes(".");
const all = {};
for (const language of languages) {
  const parts = names.filter((name) => name.endsWith(`_${language}.js`));
  const tables = await Promise.all(parts.map((name) => table_of(name)));
  all[language] = Object.assign({}, ...tables);
  const count = tables.reduce((sum, table) => sum + Object.keys(table).length, 0);
  check(count === Object.keys(all[language]).length, `${language}: a key stands in one table only`);
}
const {en, es} = all;
compare(en, es, "Spanish");

const scripts = names.filter((name) => !is_table(name));
const sources = scripts.map((name) => text_of(page_folder + name));
const used = used_keys(sources);
for (const key of used) check(Object.hasOwn(en, key), `no word for ${key}`);
for (const key of Object.keys(en).filter((one) => !is_code(one)))
  check(used.has(key), `${key} is used nowhere`);

const families = {...codes_of_the_bench(), ...codes_of_the_page()};
const expected = new Set(Object.entries(families).flatMap(
    ([family, codes]) => [...new Set(codes)].map((code) => `${family}.${code}`)));
for (const key of expected) check(Object.hasOwn(en, key), `no word for the code ${key}`);
for (const key of Object.keys(en).filter(is_code)) check(expected.has(key), `${key} is a code of nobody`);
for (const family of used_families(sources))
  check(Object.hasOwn(families, family), `${family} is no family`);
for (const family of Object.keys(families))
  check(used_families(sources).has(family), `the family ${family} is used nowhere`);

const cautions = names_in(part("daemon/queue/cautions.cpp", "sentences{", "};"));
for (const [i, text] of cautions.entries())
  check(en[`caution.${i + 1}`] === text, `caution ${i + 1} is the bench's`);
check(cautions.length === families.caution.length, "the page has as many cautions as the bench");
const as_typed = (text) => text.replaceAll("±", "+-").replaceAll("°C", "degC");
for (const [code, english] of Object.entries(said_of_the_bench))
  check(as_typed(en[`said.${code}`] ?? "") === english, `the phrase ${code} is the bench's: ${english}`);
for (const name of scripts.filter((one) => one.endsWith(".js")))
  find_sentences(name, text_of(page_folder + name));

console.log(`words: ${checks - failures} checks passed, ${failures} failed`);
process.exitCode = failures === 0 ? 0 : 1;
