// Free time of the schedule: dragged over, or extended by Shift and an arrow key, it opens the booking form
// from then until then. Its link alone opens the form from then on.
import { clockOf, minuteOf, sheetOf, STEP, toStep, typedOf } from "./schedule_sheet.js";

const SLACK = 5;
const KEY_STEP = 30; // minutes
const ghost = Object.assign(document.createElement("div"), { className: "ghost wanted" });
ghost.setAttribute("role", "status");
let wanted = null; // { sheet, link, track, starts, ends }

function addressOf({ link, track, starts, ends }) {
  const address = new URL(link.href);
  address.searchParams.set("starts", typedOf(starts));
  if (ends) address.searchParams.set("ends", typedOf(ends));
  return address;
}

function show() {
  const { sheet, track, starts, ends } = wanted;
  sheet.measure().lay(ghost, track, starts, ends);
  ghost.textContent = `Book ${track.name}, ${clockOf(starts)} to ${clockOf(ends)}`;
}

function forget() {
  wanted = null;
  ghost.remove();
}

const firstOf = (link) => minuteOf(new URL(link.href).searchParams.get("starts"));

document.addEventListener("pointerdown", (event) => {
  const link = event.target.closest("td.free")?.querySelector(".free-link");
  if (!link || event.button || event.pointerType === "touch") return;
  const sheet = sheetOf(link).measure();
  const began = sheet.at(event);
  const from = Math.max(Math.floor(began.minute / STEP) * STEP, firstOf(link));
  let left = false; // by Escape
  const follow = (each) => {
    const far = Math.hypot(each.clientX - event.clientX, each.clientY - event.clientY);
    if (left || (!wanted && far < SLACK)) return;
    getSelection().removeAllRanges();
    const to = toStep(sheet.at(each).minute);
    const [starts, ends] = to < from ? [to, from + STEP] : [from, Math.max(to, from + STEP)];
    wanted = { sheet, link, track: began.track, starts, ends };
    show();
  };
  const leave = (each) => {
    if (each.key !== "Escape") return;
    left = true;
    forget();
  };
  const drop = (each) => {
    removeEventListener("pointermove", follow);
    removeEventListener("pointerup", drop);
    removeEventListener("pointercancel", drop);
    removeEventListener("keydown", leave);
    if (each.type === "pointercancel") forget();
    if (!wanted && !left) return;
    addEventListener("click", (click) => click.preventDefault(), { capture: true, once: true });
    if (wanted) location.assign(addressOf(wanted));
  };
  addEventListener("keydown", leave);
  addEventListener("pointermove", follow);
  addEventListener("pointerup", drop);
  addEventListener("pointercancel", drop);
});

// A click into a long free stretch of a week means the hour that was clicked.
document.addEventListener("click", (event) => {
  const link = event.target.closest(".free-link");
  if (!link || !event.detail || event.defaultPrevented || event.ctrlKey || event.metaKey) return;
  const sheet = sheetOf(link);
  if (!sheet.across) return;
  event.preventDefault();
  const { track, minute } = sheet.measure().at(event);
  const starts = Math.max(Math.floor(minute / 60) * 60, firstOf(link));
  location.assign(addressOf({ link, track, starts }));
});

document.addEventListener("keydown", (event) => {
  const link = event.target.closest(".free-link");
  if (!link) return;
  if (wanted && event.key === "Enter") {
    event.preventDefault();
    location.assign(addressOf(wanted));
  }
  if (wanted && event.key === "Escape") forget();
  const sheet = sheetOf(link);
  const [back, on] = sheet.across ? ["ArrowLeft", "ArrowRight"] : ["ArrowUp", "ArrowDown"];
  if (!event.shiftKey || ![back, on].includes(event.key)) return;
  event.preventDefault();
  event.stopPropagation();
  if (!wanted) {
    sheet.measure();
    const cell = link.getBoundingClientRect();
    const { track } = sheet.at({ clientX: cell.left + 1, clientY: cell.top + 1 });
    wanted = { sheet, link, track, starts: firstOf(link), ends: firstOf(link) };
  }
  const step = event.key === on ? KEY_STEP : -KEY_STEP;
  wanted.ends = Math.max(wanted.ends + step, wanted.starts + KEY_STEP);
  show();
});
document.addEventListener("focusout", () => wanted && forget());
