// SPDX-License-Identifier: Apache-2.0
// The page: the stream of snapshots, the header, and scanning. The bench's state is never kept here.
import {moment} from "/amounts.js";
import {
  ask_name, change, read, say, say_error, session_path, show_actor, ticket_path, with_name, with_view,
} from "/api.js";
import {cautions_of} from "/cautions.js";
import {element, fill_words, set_hidden, set_items, set_said, set_text} from "/dom.js";
import {open_instruments} from "/instruments.js";
import {notice_words, shared_notices, show_places} from "/places.js";
import {make_queue, show_queue} from "/queue.js";
import {sentence} from "/said.js";
import {language, t} from "/words.js";

const silence_max_ms = 25000;
const reopen_after_ms = 5000;
// A ticket of another bench, or a misreading: no battery begins with it.
const ticket_like = /^\w{0,8}T-\d/iu;
const by_id = (id) => document.getElementById(id);

let bench = null;
let stream = null;
let last_heard = 0;
let scanned_ticket = null;

function show_live(is_live) {
  document.body.classList.toggle("not_live", !is_live);
  if (is_live) {
    set_text(by_id("live"), t("live"));
  } else {
    const since = bench ? ` ${t("old_numbers", {moment: moment(bench.at)})}` : "";
    set_text(by_id("live"), t("not_live") + since);
  }
}

function show_alarms(alarms) {
  const list = by_id("alarms");
  const lines = (alarms ?? []).map(
      (alarm) => element(
          "li", {}, `${alarm.place ?? t("the_bench")}: `, sentence(alarm.said, alarm.text)));
  set_items(list, lines);
  set_hidden(list, lines.length === 0);
}

function show_names(snapshot) {
  const names = [
    ...snapshot.places.map((place) => place.name),
    ...snapshot.queue.map((row) => row.ticket),
  ];
  const list = by_id("scan_names");
  const shown = [...list.children].map((option) => option.value);
  if (shown.join("\n") === names.join("\n")) return;
  list.replaceChildren(...names.map((value) => element("option", {value})));
}

function show(snapshot) {
  bench = snapshot;
  set_text(by_id("bench_name"), snapshot.bench ?? "");
  set_text(by_id("clock"), moment(snapshot.at));
  set_text(by_id("software"), snapshot.software ?? "");
  set_text(by_id("simulated"), snapshot.simulated ? t("simulated", {scale: snapshot.scale ?? 1}) : "");
  set_hidden(by_id("simulated"), !snapshot.simulated);
  set_said(by_id("stopped"), snapshot.stopped ? t("stopped") : "", snapshot.stopped ?? "");
  set_hidden(by_id("stopped"), !snapshot.stopped);
  show_alarms(snapshot.alarms);
  set_items(by_id("cautions"), cautions_of(snapshot));
  show_names(snapshot);
  const shared = shared_notices(snapshot);
  const apart = (notice, i) => element("span", {}, i ? "; " : "", notice_words(notice));
  set_items(by_id("shared"), shared.map(apart));
  show_places(by_id("places"), snapshot);
  show_queue(snapshot, (ticket) => take_ticket(ticket));
}

function heard() {
  last_heard = performance.now();
  show_live(true);
}

function open_stream() {
  stream = new EventSource("/api/v1/events");
  stream.addEventListener("bench", (event) => {
    heard();
    show(JSON.parse(event.data));
  });
  stream.addEventListener("beat", heard);
  stream.onerror = () => {
    show_live(false);
    if (stream.readyState !== EventSource.CLOSED) return;
    // A stream doesn't say that it was refused.
    read(session_path).catch(() => {});
    setTimeout(open_stream, reopen_after_ms);
  };
}

function take_ticket(ticket) {
  scanned_ticket = ticket;
  by_id("scan").placeholder = t("now_the_place");
  by_id("scan").focus();
  say(t("ticket_then_place", {ticket}));
}

function forget_ticket() {
  scanned_ticket = null;
  by_id("scan").placeholder = "T-000001-3";
}

async function move(ticket, place) {
  try {
    await change(ticket_path(ticket, "move"), {place});
    say(t("moved", {ticket, place}));
    forget_ticket();
  } catch (error) {
    say_error(error);
  }
}

function begin_drop_off(serial = null) {
  with_name(() => with_view("/drop_off.js", (view) => view.open_drop_off(bench, serial)));
}

function scanned(event) {
  event.preventDefault();
  const text = by_id("scan").value.trim();
  by_id("scan").value = "";
  if (!text) return forget_ticket();
  const same = (name) => name.toLowerCase() === text.toLowerCase();
  const row = bench?.queue.find((one) => same(one.ticket));
  if (row) return take_ticket(row.ticket);
  const place = bench?.places.find((one) => same(one.name));
  if (place && scanned_ticket) {
    const ticket = scanned_ticket;
    return with_name(() => move(ticket, place.name));
  }
  if (place) {
    const card = by_id(`place_${place.name}`);
    card?.scrollIntoView({block: "center"});
    card?.focus();
    return say(t("place_scanned", {place: place.name}));
  }
  if (ticket_like.test(text)) return say(t("nothing_scanned", {text}));
  say(t("new_here", {text}));
  begin_drop_off(text);
}

// Stopping never waits for a name.
async function stop_all() {
  try {
    await change("/api/v1/stop", {why: "Stop all pressed on the page"});
    say(t("stop_sent"));
  } catch (error) {
    say_error(error, t("not_stopped"));
  }
}

document.documentElement.lang = language;
fill_words(document);
make_queue(() => {
  if (bench) show_queue(bench, take_ticket);
});
set_items(by_id("cautions"), cautions_of(null));
by_id("scan_form").addEventListener("submit", scanned);
// A scan anywhere goes to the scan field.
document.addEventListener("keydown", (event) => {
  const is_text =
      event.key.length === 1 && event.key !== " " && !event.ctrlKey && !event.metaKey && !event.altKey;
  const is_free = !by_id("dialog").open && !document.activeElement?.closest("input, select, textarea");
  if (is_text && is_free) by_id("scan").focus();
});
by_id("stop_all").addEventListener("click", stop_all);
by_id("who").addEventListener("click", () => ask_name());
by_id("instruments").addEventListener("click", () => open_instruments());
by_id("batch").addEventListener(
    "click", () => with_name(() => with_view("/batch.js", (view) => view.open_batch())));
by_id("fitting").addEventListener("click", () => with_view("/fitting.js", (view) => view.open_fitting()));
by_id("rehearsals").addEventListener(
    "click", () => with_view("/rehearsals.js", (view) => view.open_rehearsals()));
by_id("settings").addEventListener("click", () => with_view("/settings.js", (view) => view.open_settings()));
by_id("drop_off").addEventListener("click", () => begin_drop_off());
setInterval(() => {
  if (performance.now() - last_heard > silence_max_ms) show_live(false);
}, 1000);
show_actor();
open_stream();
