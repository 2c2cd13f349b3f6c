// The tracking page: a press counts at once, is kept on the device until the server took it, and what
// others logged is shown within two seconds.
import { keepPage } from "./kept_pages.js";
import { openQueue } from "./press_queue.js";
import { showWaiting } from "./waiting.js";

const LOOK = 1500; // ms between two looks at what others logged
const TWICE = 500; // ms within which the same press again is one press
const TYPED = 1200; // ms after the last key until a note is kept
const MARKS = ["end", "mark"];
const IN_USE = ":is(input, select, textarea):focus, :popover-open, .htmx-request, [role='alert']";

const page = document.querySelector("[data-tracking]");
const keys = document.querySelector("#take-keys");
const note = keys?.elements.namedItem("note");
const startedAs = new Map(); // the number of a press that started a take: the take's key
let answered = []; // presses that the server took, which the page does not show yet
let etag = "";
let looks = 0;
let shown = 0; // which of the looks the page shows
let heard = false; // whether the server itself answered one since the page opened
let ahead = 0; // ms that the server's clock is ahead of this device's
let last = {};
let noted = "";
let typing = 0;
let inLine = Promise.resolve();

const part = (name) => document.querySelector(`[data-shows="${name}"]`);

// What the server said last, and what was pressed since.
function state(since = pending()) {
  const said = document.querySelector("#tracking-now").dataset;
  const now = { next: Number(said.next), take: null };
  if (said.take) {
    const rolls = said.since && Date.parse(said.since) - ahead;
    now.take = { key: said.take, number: Number(said.number), since: rolls, said };
  }
  for (const press of since) {
    const key = startedAs.get(press.take) ?? press.take;
    if (["start", "over"].includes(press.what)) {
      const rolls = press.what === "start" && press.pressed_at;
      const made = startedAs.get(press.number) ?? press.number;
      now.take = { key: made, number: now.next, since: rolls };
      now.next += 1;
    } else if (now.take && String(key) === String(now.take.key) && MARKS.includes(press.what)) {
      now.take.since = null;
    }
  }
  return now;
}

function pending() {
  const waiting = queue.waiting().filter((press) => press.address === queue.address);
  return [...answered, ...waiting].filter(notShown);
}

function notShown(press) {
  const shown = document.querySelector("#tracking-now").dataset.take;
  return press.what !== "start" || String(startedAs.get(press.number)) !== shown;
}

function draw() {
  const { next, take } = state();
  const rolls = Boolean(take?.since);
  part("number").textContent = `Take ${rolls ? take.number : next}`;
  const shown = document.querySelector("#tracking-now").dataset.take;
  if (take && !take.said) part("state").textContent = rolls ? "Rolling." : `The keys mark take ${take.number}.`;
  else if (take?.said.since && !rolls) part("state").textContent = `Over. The keys mark take ${take.number}.`;
  page.classList.toggle("rolling", rolls);
  keys.querySelector("[data-of]").textContent = take ? take.number : next;
  showNote(shown ?? "", take);
}

// Of another take; of the same one where somebody else wrote it, or the page was an older one.
function showNote(shown, take) {
  if (document.activeElement === note || pending().some((press) => press.what === "note")) return;
  if (shown === keys.dataset.noted && note.value !== noted) return; // typed, and not sent yet
  keys.dataset.noted = shown;
  noted = note.value = take?.said?.note ?? "";
}

function tick() {
  const since = state().take?.since;
  const seconds = since ? Math.max(0, Math.floor((Date.now() - since) / 1000)) : 0;
  const text = `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
  part("elapsed").textContent = since ? text : "";
}

function say(words) {
  part("said").textContent = words;
}

function twice(what) {
  const again = last.what === what && Date.now() - last.at < TWICE;
  last = { what, at: Date.now() };
  return again;
}

// A take by its key; one that the server has not numbered yet by the press that started it.
function ofTake(take) {
  const known = !pending().some((press) => String(startedAs.get(press.take) ?? press.take) === String(take.key));
  const seen = known && take.said ? take.said.seen.trim().split(" ") : undefined;
  return { take: take.key, take_number: take.number, seen, version: seen && take.said.version };
}

function isCircled() {
  const { take } = state();
  const pressed = pending().filter((each) => each.what === "circle" && each.take_number === take?.number);
  return pressed.length ? Boolean(pressed.at(-1).circled) : take?.said?.circled !== undefined;
}

// One after the other, each with the time at which it was pressed.
function press(what, fields = {}) {
  if (twice(`${what} ${fields.mark ?? ""}`)) return;
  const pressed = { ...fields, pressed_at: Date.now() };
  inLine = inLine.catch(() => {}).then(() => keep(what, pressed));
}

async function keep(what, fields) {
  let { take } = state();
  if (what === "start" && take?.since) {
    say(`Take ${take.number} is rolling: end or mark it before the next one.`);
    return;
  }
  if (!["start", "over", "undo"].includes(what)) {
    // A start that was answered this very moment is no longer in line, and not yet on the page.
    if (!take) {
      await look();
      ({ take } = state());
    }
    if (!take) {
      say("No take yet: start one first.");
      return;
    }
    Object.assign(fields, ofTake(take));
  }
  keepNote();
  add({ what, ...fields });
  draw();
}

// It counts at once: the next press does not wait until a slow disk has stored this one.
function add(press) {
  queue.add(press).catch(() => {});
}

function keepNote() {
  clearTimeout(typing);
  const { take } = state();
  if (!take || note.value === noted) return;
  noted = note.value;
  add({ what: "note", note: note.value, ...ofTake(take) });
}

function fieldsOf(form, submitter) {
  const fields = {};
  for (const [name, value] of new FormData(form, submitter)) {
    if (["csrfmiddlewaretoken", "press", "now", "take", "seen", "version", "what", "note"].includes(name)) continue;
    fields[name] = name in fields ? [fields[name], value].flat() : value;
  }
  return fields;
}

function onSubmit(event) {
  const { submitter } = event;
  event.preventDefault();
  const { name, value } = submitter;
  if (name === "mark") press("mark", { mark: value });
  else if (name === "circled") press("circle", { circled: isCircled() ? "" : "1" });
  else if (name === "again") press("start", fieldsOf(event.target, submitter));
  else if (!["start", "over"].includes(value)) press(value);
  else {
    const first = state().take ? {} : { note: note.value };
    press(value, { ...fieldsOf(event.target, submitter), ...first });
    wholeAgain();
  }
}

// The next take is a whole one, unless somebody says otherwise.
function wholeAgain() {
  keys.elements.namedItem("kind").value = "whole";
  for (const name of ["into", "punch_in", "punch_out"]) keys.elements.namedItem(name).value = "";
  document.querySelector("#punch").open = false;
}

function punchIn({ punchIn: begins, punchOut: ends }) {
  keys.elements.namedItem("kind").value = "punch_in";
  keys.elements.namedItem("into").value = document.querySelector("#punch").dataset.into;
  keys.elements.namedItem("punch_in").value = begins;
  keys.elements.namedItem("punch_out").value = ends ?? "";
  say(`The next take is a punch-in: ${begins}${ends ? ` to ${ends}` : ""}.`);
}

async function look() {
  if (document.hidden) return;
  const taken = answered;
  const turn = (looks += 1);
  try {
    const headers = etag ? { "If-None-Match": etag } : {};
    const answer = await fetch(page.dataset.live, { headers, cache: "no-store", redirect: "manual" });
    const html = answer.status === 200 && (await answer.text());
    if (turn < shown) return; // a later look was answered first
    shown = turn;
    const kept = answer.headers.has("X-Kept"); // by the device, while the server is away
    // What the device kept may be older than what the page has from the server.
    if (html && !(kept && heard)) show(new DOMParser().parseFromString(html, "text/html"));
    heard ||= !kept && (answer.ok || answer.status === 304);
    if (!kept) etag = answer.headers.get("ETag") ?? "";
    if (!kept && (answer.ok || answer.status === 304))
      answered = answered.filter((each) => !taken.includes(each));
    queue.reached(answer);
  } catch {
    queue.reached(null);
  }
  draw();
}

function show(fresh) {
  const { user } = fresh.querySelector("[data-user]").dataset;
  if (user !== page.dataset.user) {
    location.reload(); // somebody else signed in on this device
    return;
  }
  for (const old of document.querySelectorAll("[data-live-part]")) {
    const now = fresh.getElementById(old.id);
    if (!now || now.isEqualNode(old) || old.querySelector(IN_USE)) continue;
    const focused = old.contains(document.activeElement) && document.activeElement.id;
    old.replaceWith(now);
    if (focused) document.getElementById(focused)?.focus();
    window.htmx?.process(now);
  }
  const time = document.querySelector("#tracking-now")?.dataset.time;
  if (time) ahead = Date.parse(time) - Date.now();
}

async function onAnswer({ detail: { press: sent, answer, status } }) {
  say(answer.said ?? "");
  if (status && status >= 400) {
    draw();
    return;
  }
  if (answer.take && ["start", "over"].includes(sent.what)) startedAs.set(sent.number, answer.take.key);
  answered = [...answered, sent];
  await look();
}

let queue;
if (keys) {
  const token = document.querySelector('meta[name="csrf-token"]').content;
  const { user, queueKey: key, press: address, live } = page.dataset;
  queue = await openQueue({ user, key, address, live, token });
  showWaiting(queue, document.querySelector("#waiting"), {
    lastNumber: () => state(answered.filter(notShown)).next - 1,
  });
  queue.addEventListener("answered", onAnswer);
  queue.addEventListener("change", draw);
  page.addEventListener("submit", onSubmit);
  page.addEventListener("click", (event) => {
    const place = event.target.closest("[data-punch-in]");
    if (!place) return;
    event.preventDefault();
    punchIn(place.dataset);
  });
  noted = note.value;
  keys.dataset.noted = document.querySelector("#tracking-now").dataset.take ?? "";
  note.addEventListener("change", keepNote);
  note.addEventListener("input", () => {
    clearTimeout(typing);
    typing = setTimeout(keepNote, TYPED);
  });
  keepPage();
  page.dataset.ready = "";
  setInterval(look, LOOK);
  setInterval(tick, 250);
  await look();
}
