// Moves a session on the schedule, and makes it longer or shorter: dragged by mouse or pen; or, once its
// arrows were pressed, by the arrow keys, by buttons and by a finger. While it hangs in the air the server
// is asked what it would clash with there. What is put down is posted to its page for moving, which does
// it or says why not, and which needs none of this.
import { clockOf, dayOf, minuteOf, sheetOf, STEP, toStep, typedOf } from "./schedule_sheet.js";

const SLACK = 5; // pixels that a hand moves while it clicks
const EDGE = 8; // pixels at the end of a session that make it longer
const ASK_AFTER = 120; // milliseconds
const DAY = 24 * 60;
const LAST = "schedule-moved";

const bar = document.querySelector("[data-move-bar]");
const says = bar.querySelector("[data-says]");
const ghost = Object.assign(document.createElement("div"), { className: "ghost", tabIndex: -1 });
ghost.setAttribute("role", "application");
let move = null; // what hangs in the air

function take(cell) {
  leave();
  const { session, title, seen, starts, ends, of } = cell.dataset;
  const sheet = sheetOf(cell).measure();
  const day = dayOf(cell);
  const track = sheet.tracks.find((each) => each.day === day && (!of || each.resource === of));
  const period = { starts: minuteOf(starts), ends: minuteOf(ends) };
  move = { cell, sheet, session, title, seen, of, track, ...period, from: { track, ...period } };
  show();
}

function show() {
  const { sheet, track, starts, ends, title } = move;
  sheet.measure().lay(ghost, track, starts, ends);
  const words = `${title}, ${clockOf(starts)} to ${clockOf(ends)}`;
  ghost.textContent = words;
  ghost.ariaLabel = `Move ${words}, ${track.name}. Arrow keys move it, Shift with them its end, Enter puts it there, Escape leaves it.`;
  clearTimeout(move.waiting);
  move.waiting = setTimeout(ask, ASK_AFTER);
}

// What stands in the way, said on the ghost and in the bar.
async function ask() {
  const asking = move;
  asking.abort?.abort();
  asking.abort = new AbortController();
  try {
    const answer = await fetch(`${asking.session}check/?${new URLSearchParams(wanted(asking))}`, { signal: asking.abort.signal });
    if (!answer.ok || move !== asking) return;
    const { when, problems } = await answer.json();
    ghost.classList.toggle("refused", problems.length > 0);
    const word = problems.length ? "✗ " : "✓ free: ";
    says.textContent = `${word}${[when, asking.track.name].filter(Boolean).join(", ")}${problems.length ? ": " : "."}${problems.join(" ")}`;
    ghost.textContent = `${problems.length ? "✗ " : "✓ "}${asking.title}, ${clockOf(asking.starts)} to ${clockOf(asking.ends)}. ${problems.join(" ")}`;
    ghost.dataset.asked = typedOf(asking.starts);
  } catch (error) {
    if (error.name !== "AbortError") says.textContent = "The server does not answer: what it would clash with is not known.";
  }
}

function wanted({ sheet, starts, ends, of, track }) {
  const facts = { starts_at: typedOf(starts), ends_at: typedOf(ends) };
  if (!of || track.resource === of) return facts;
  return { ...facts, kind: sheet.table.dataset.kind, old: of, new: track.resource };
}

// Above or below, left or right: on a week that is another day, too.
function beside(step) {
  const { tracks } = move.sheet;
  const place = tracks.findIndex((each) => each.resource === move.track.resource && each.day === move.track.day);
  const next = tracks[place + step];
  if (next) to(next);
}

function to(track) {
  const days = minuteOf(`${track.day}T00:00`) - minuteOf(`${move.track.day}T00:00`);
  Object.assign(move, { track, starts: move.starts + days, ends: move.ends + days });
  show();
}

function shift(minutes) {
  Object.assign(move, { starts: move.starts + minutes, ends: move.ends + minutes });
  show();
}

function stretch(minutes) {
  move.ends = Math.max(move.ends + minutes, move.starts + STEP);
  show();
}

function leave() {
  if (!move) return;
  clearTimeout(move.waiting);
  move.abort?.abort();
  const link = move.cell.querySelector(".move-link");
  const hadFocus = ghost.contains(document.activeElement) || bar.contains(document.activeElement);
  move = null;
  ghost.remove();
  ghost.classList.remove("refused");
  bar.hidden = true;
  says.textContent = "";
  if (hadFocus) link?.focus();
}

function put() {
  const { starts, ends, track, from, session, seen } = move;
  if (starts === from.starts && ends === from.ends && track.resource === from.track.resource) return leave();
  sessionStorage.setItem(LAST, session);
  const form = Object.assign(document.createElement("form"), { method: "post", action: session, hidden: true });
  const facts = {
    ...wanted(move),
    seen,
    next: location.pathname + location.search,
    press: bar.querySelector("[name=press]").value,
    csrfmiddlewaretoken: document.querySelector("meta[name=csrf-token]").content,
  };
  for (const [name, value] of Object.entries(facts))
    form.append(Object.assign(document.createElement("input"), { name, value }));
  document.body.append(form);
  form.submit();
}

// By mouse and pen: at once.
function grab(event, part) {
  const start = { x: event.clientX, y: event.clientY };
  const { pointerId } = event;
  const chosen = Boolean(move); // by its arrows: let go, it hangs on
  let offset = null;
  const follow = (each) => {
    if (each.pointerId !== pointerId) return;
    if (offset !== null && !move) return; // Escape left it in the air
    if (offset === null) {
      if (Math.hypot(each.clientX - start.x, each.clientY - start.y) < SLACK) return;
      if (!move) take(part.cell);
      offset = move.sheet.measure().at({ clientX: start.x, clientY: start.y }).minute - move.starts;
    }
    getSelection().removeAllRanges();
    const { track, minute } = move.sheet.at(each);
    const length = move.ends - move.starts;
    if (part.edge === "ends") move.ends = Math.max(toStep(minute), move.starts + STEP);
    else if (part.edge === "starts") move.starts = Math.min(toStep(minute), move.ends - STEP);
    else Object.assign(move, { track, starts: toStep(minute - offset), ends: toStep(minute - offset) + length });
    show();
  };
  const stop = (each) => {
    removeEventListener("pointermove", follow);
    removeEventListener("pointerup", drop);
    removeEventListener("pointercancel", stop);
    if (each.type === "pointercancel" && !chosen) leave();
  };
  const drop = (each) => {
    if (each.pointerId !== pointerId) return;
    stop(each);
    if (offset === null) return;
    addEventListener("click", (click) => click.preventDefault(), { capture: true, once: true });
    if (move && !chosen) put();
  };
  addEventListener("pointermove", follow);
  addEventListener("pointerup", drop);
  addEventListener("pointercancel", stop);
}

// Which edge of the session lies under the pointer, if it is long enough to have edges.
function edgeOf(cell, event) {
  const sheet = sheetOf(cell).measure();
  if (!sheet.stretches) return ""; // a month shows no hours
  const midnight = minuteOf(`${dayOf(cell)}T00:00`);
  const [starts, ends] = [cell.dataset.starts, cell.dataset.ends].map((each) => sheet.pixelOf(minuteOf(each) - midnight));
  const along = sheet.across ? event.clientX : event.clientY;
  if (ends - starts < 4 * EDGE) return "";
  return Math.abs(ends - along) < EDGE ? "ends" : Math.abs(along - starts) < EDGE / 2 ? "starts" : "";
}

document.addEventListener("pointerdown", (event) => {
  if (event.button || event.pointerType === "touch" || event.target.closest(".move-link, .ghost")) return;
  const cell = event.target.closest("[data-session]");
  if (!cell || move) return;
  grab(event, { cell, edge: edgeOf(cell, event) });
});
ghost.addEventListener("pointerdown", (event) => {
  event.preventDefault();
  grab(event, { cell: move.cell, edge: "" });
});
document.addEventListener("dragstart", (event) => {
  if (event.target.closest?.("[data-sheet]")) event.preventDefault(); // a link is not what is dragged
});

// By its arrows: with keys, buttons or a finger.
document.addEventListener("click", (event) => {
  const link = event.target.closest(".move-link");
  if (!link || event.ctrlKey || event.metaKey) return;
  event.preventDefault();
  take(link.closest("[data-session]"));
  bar.hidden = false;
  ghost.focus({ preventScroll: true });
});

// On a month a step is a day, and the row above is the week before.
function days(count) {
  const wanted = new Date(Date.parse(move.track.day) + count * DAY * 60_000).toISOString().slice(0, 10);
  const track = move.sheet.tracks.find((each) => each.day === wanted);
  if (track) to(track);
}

function sideways(count) {
  if (move.sheet.stretches) beside(count);
  else days(7 * count);
}

function along(count) {
  if (move.sheet.stretches) shift(count * STEP);
  else days(count);
}

const STEPS = {
  earlier: () => along(-1),
  later: () => along(1),
  shorter: () => stretch(-STEP),
  longer: () => stretch(STEP),
  before: () => sideways(-1),
  after: () => sideways(1),
  put,
  leave,
};
bar.addEventListener("click", (event) => STEPS[event.target.closest("[data-step]")?.dataset.step]?.());

function stepOf({ key, shiftKey }) {
  if (key === "Enter") return "put";
  if (key === "Escape") return "leave";
  const across = { ArrowUp: false, ArrowDown: false, ArrowLeft: true, ArrowRight: true }[key];
  if (across === undefined) return "";
  const onwards = key === "ArrowDown" || key === "ArrowRight";
  if (across !== move.sheet.across) return onwards ? "after" : "before";
  if (shiftKey && move.sheet.stretches) return onwards ? "longer" : "shorter";
  return onwards ? "later" : "earlier";
}
ghost.addEventListener("keydown", (event) => {
  const step = stepOf(event);
  if (!step) return;
  event.preventDefault();
  event.stopPropagation(); // the page's own arrow keys turn to another day
  STEPS[step]();
});
addEventListener("keydown", (event) => event.key === "Escape" && leave());
addEventListener("resize", () => move && show());

// Back on the page, the eye and the focus are where the session is now.
const last = sessionStorage.getItem(LAST);
if (last) {
  sessionStorage.removeItem(LAST);
  const link = document.querySelector(`[data-session="${CSS.escape(last)}"] .move-link`);
  link?.focus();
  link?.scrollIntoView({ block: "nearest" });
}

// What can be undone for a minute is offered no longer.
const notice = document.querySelector("[data-until]");
if (notice) setTimeout(() => notice.remove(), Math.max(Date.parse(notice.dataset.until) - Date.now(), 0));
