// A drawn control is chosen by a tap, since a flick scrolls; then it is large, and is set by dragging
// it. ↑ and ↓ turn it there and in its field. What is written into the field is where the pointer
// then stands (1:05, 40 %), at a mark what it means; the server says the value.
const STEP = { continuous: 5, slider: 2 }; // degrees, per cent of travel
const FINE = 0.1; // of a step, with Shift
const ENDS = ["pointerup", "pointercancel"];
const SLACK = 3; // pixels that a finger may slip before it drags
const PATIENCE = 500; // milliseconds after the last arrow key until it is sent

const drawings = document.querySelectorAll(".editor-control .control-drawing");
for (const drawing of drawings) if (stopsOf(drawing).length) drawing.dataset.turns = "";

function stopsOf(drawing) {
  return drawing.dataset.kind === "reading" ? [] : JSON.parse(drawing.dataset.stops);
}

function rests(drawing) {
  return drawing.dataset.kind === "stepped" || drawing.dataset.kind === "switch";
}

function standsAt(drawing) {
  return drawing.dataset.angle === "" ? stopsOf(drawing)[0][0] : Number(drawing.dataset.angle);
}

function clockText(angle) {
  const minutes = (Math.round((angle + 360) * 2) + 720) % 720;
  return `${Math.floor(minutes / 60) || 12}:${String(minutes % 60).padStart(2, "0")}`;
}

function nearest(stops, angle) {
  return stops.reduce((a, b) => (Math.abs(b[0] - angle) < Math.abs(a[0] - angle) ? b : a));
}

// Let it stand at an angle, in the field and in the drawing, without saving it yet.
function turnTo(drawing, angle) {
  const stops = stopsOf(drawing);
  const within = Math.max(stops[0][0], Math.min(stops.at(-1)[0], angle));
  const mark = nearest(stops, within);
  const at = rests(drawing) ? mark[0] : within;
  const input = drawing.parentElement.querySelector("input");
  const place = drawing.dataset.kind === "slider" ? `${Math.round(at * 10) / 10} %` : clockText(at);
  input.value = at === mark[0] ? mark[1] : place;
  drawing.dataset.angle = at;
  drawing.dataset.shows = at === mark[0] ? mark[1] : `about ${valueText(drawing, at)}`;
  point(drawing, at);
  drawing.dispatchEvent(new Event("turned", { bubbles: true }));
  return input;
}

// What it means between two marks, with as many figures as the eye can tell (`gear/audio/dial.py`).
function valueText(drawing, at) {
  const stops = stopsOf(drawing);
  const next = Math.max(1, stops.findIndex(([angle]) => angle >= at));
  const [[from, , low], [to, , high]] = [stops[next - 1], stops[next]];
  const share = (at - from) / (to - from);
  const isLog = drawing.dataset.scale === "log";
  const value = isLog ? low * (high / low) ** share : low + share * (high - low);
  const size = Math.min(isLog ? value : Infinity, Math.abs(high - low));
  const figures = 2 - Math.floor(Math.log10(size));
  const rounded = Number(value.toFixed(Math.max(0, figures)));
  const unit = { "%": " %", ":1": ":1" }[drawing.dataset.unit] ?? ` ${drawing.dataset.unit}`;
  return `${rounded < 0 ? "−" : ""}${Math.abs(rounded)}${unit}`;
}

function pointerOf(drawing) {
  return JSON.parse(drawing.dataset.pointer);
}

function point(drawing, angle) {
  const svg = drawing.querySelector("svg");
  const { path, width, transform, step } = pointerOf(drawing);
  const pointer =
    svg.querySelector("path[transform]") ??
    svg.appendChild(document.createElementNS(svg.namespaceURI, "path"));
  pointer.setAttribute("d", path);
  pointer.setAttribute("stroke-width", width);
  pointer.setAttribute("transform", transform.replace("{}", angle * step));
}

function saveNow(input) {
  input.dispatchEvent(new Event("change", { bubbles: true }));
}

// A knob is taken by its ring and turned around, or by its middle and drawn up and down; a slider is
// drawn along; of a switch the position under the finger is taken.
function places(drawing, start) {
  const svg = drawing.querySelector("svg");
  const box = svg.getBoundingClientRect();
  const middle = { x: box.left + box.width / 2, y: box.top + box.height / 2 };
  const stops = stopsOf(drawing);
  const pixels = (pointerOf(drawing).step * box.width) / svg.viewBox.baseVal.width; // for each step
  let at = standsAt(drawing);
  if (drawing.dataset.kind === "switch") {
    return (event) => (event.clientX - middle.x) / pixels + (stops.length - 1) / 2 + stops[0][0];
  }
  if (drawing.dataset.kind === "slider") {
    return (event) => at + (event.clientY - start.clientY) / pixels;
  }
  if (Math.hypot(start.clientX - middle.x, start.clientY - middle.y) < box.width / 5) {
    return (event) => at + (start.clientY - event.clientY);
  }
  const bearing = (event) =>
    (Math.atan2(event.clientX - middle.x, middle.y - event.clientY) * 180) / Math.PI;
  let before = bearing(start);
  return (event) => {
    const now = bearing(event);
    at += ((now - before + 540) % 360) - 180; // the short way round, also across 6 o'clock
    before = now;
    return at;
  };
}

let chosen;

function choose(drawing) {
  if (chosen === drawing) return;
  letGo();
  chosen = drawing;
  const input = drawing.parentElement.querySelector("input");
  drawing.dataset.shows = input.value || "not logged";
  drawing.classList.add("chosen");
  drawing.tabIndex = -1;
  drawing.focus({ preventScroll: true });
  drawing.scrollIntoView({ block: "nearest" }); // all of what is large now
}

function letGo() {
  chosen?.classList.remove("chosen");
  chosen = undefined;
}

document.addEventListener("click", (event) => {
  const drawing = event.target.closest("[data-turns]");
  if (drawing) choose(drawing);
  else if (!event.target.closest("[data-undo]")) letGo();
});
document.addEventListener("focusin", (event) => {
  if (chosen && !event.target.closest(".editor-bar") && !chosen.contains(event.target)) letGo();
});

document.addEventListener("pointerdown", (start) => {
  const drawing = start.target.closest("[data-turns]");
  if (!drawing || drawing !== chosen || start.button !== 0) return;
  start.preventDefault();
  const input = drawing.parentElement.querySelector("input");
  const placeAt = places(drawing, start);
  let drags = drawing.dataset.kind === "switch";
  const move = (event) => {
    drags ||= Math.hypot(event.clientX - start.clientX, event.clientY - start.clientY) > SLACK;
    if (drags) turnTo(drawing, placeAt(event));
  };
  const end = (event) => {
    drawing.removeEventListener("pointermove", move);
    for (const type of ENDS) drawing.removeEventListener(type, end);
    if (event.type === "pointerup") move(event);
    if (drags) saveNow(input);
  };
  drawing.setPointerCapture(start.pointerId);
  drawing.addEventListener("pointermove", move);
  for (const type of ENDS) drawing.addEventListener(type, end);
});

const turned = new Map(); // fields turned by keys, and the timer until they are sent

function sendTurned(input) {
  clearTimeout(turned.get(input));
  if (turned.delete(input)) saveNow(input);
}

document.addEventListener("keydown", (event) => {
  if (event.key === "Escape") letGo();
  const way = { ArrowUp: 1, ArrowDown: -1 }[event.key];
  const drawing = way && event.target.closest(".editor-control")?.querySelector("[data-turns]");
  if (!drawing || event.ctrlKey || event.metaKey || event.altKey) return;
  event.preventDefault();
  const input = turnTo(
    drawing,
    drawing.dataset.angle === "" ? standsAt(drawing) : stepped(drawing, way, event),
  );
  clearTimeout(turned.get(input));
  turned.set(input, setTimeout(sendTurned, PATIENCE, input));
});
document.addEventListener("focusout", () => [...turned.keys()].forEach(sendTurned));

function stepped(drawing, way, event) {
  if (!rests(drawing)) return standsAt(drawing) + way * STEP[drawing.dataset.kind] * (event.shiftKey ? FINE : 1);
  const stops = stopsOf(drawing);
  const now = stops.indexOf(nearest(stops, standsAt(drawing)));
  return stops[Math.max(0, Math.min(stops.length - 1, now + way))][0];
}
