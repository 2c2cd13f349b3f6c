// A signature is drawn with a finger, a pen or the mouse. What is sent is the lines as whole numbers
// on the pad of `sessions/signing/strokes.py`; without this script a name is typed instead.
const CLOSEST = 3; // units of the pad: points nearer than this say nothing more

function linesIn(field) {
  try {
    const lines = JSON.parse(field.value || "[]");
    return Array.isArray(lines) ? lines : [];
  } catch {
    return [];
  }
}

function pathOf([x, y, ...others]) {
  let path = `M${x} ${y}`;
  for (let at = 0; at < others.length; at += 2) path += `L${others[at]} ${others[at + 1]}`;
  return others.length ? path : `${path}h.1`;
}

function start(signing) {
  const drawn = signing.querySelector("[data-signing-drawn]");
  const pad = drawn.querySelector("svg");
  const ink = drawn.querySelector("[data-signing-ink]");
  const field = drawn.querySelector('input[type="hidden"]');
  const byTyping = signing.querySelector('input[type="checkbox"]');
  const [undo, clear] = ["undo", "clear"].map((each) => drawn.querySelector(`[data-signing-${each}]`));
  const { width, height } = pad.viewBox.baseVal;
  let lines = linesIn(field);
  let pointer = null; // that draws; a palm that rests on the glass is another one

  function show() {
    ink.setAttribute("d", lines.map(pathOf).join(""));
    undo.disabled = clear.disabled = !lines.length;
  }

  function keep() {
    field.value = lines.length ? JSON.stringify(lines) : "";
    field.dispatchEvent(new Event("input", { bubbles: true }));
    show();
  }

  function add({ clientX, clientY }) {
    const box = pad.getBoundingClientRect();
    const within = (share, size) => Math.round(Math.min(1, Math.max(0, share)) * size);
    const x = within((clientX - box.left) / box.width, width);
    const y = within((clientY - box.top) / box.height, height);
    const line = lines.at(-1);
    if (line.length && Math.hypot(x - line.at(-2), y - line.at(-1)) < CLOSEST) return;
    line.push(x, y);
  }

  pad.addEventListener("pointerdown", (event) => {
    if (pointer !== null || event.button) return;
    event.preventDefault();
    pointer = event.pointerId;
    pad.setPointerCapture(pointer);
    lines.push([]);
    add(event);
    show();
  });
  pad.addEventListener("pointermove", (event) => {
    if (event.pointerId !== pointer) return;
    const between = event.getCoalescedEvents?.() ?? [];
    for (const each of between.length ? between : [event]) add(each);
    show();
  });
  for (const end of ["pointerup", "pointercancel"]) {
    pad.addEventListener(end, (event) => {
      if (event.pointerId !== pointer) return;
      pointer = null;
      keep();
    });
  }
  undo.addEventListener("click", () => {
    lines.pop();
    keep();
  });
  clear.addEventListener("click", () => {
    lines = [];
    keep();
  });
  const choose = () => (drawn.hidden = byTyping.checked);
  byTyping.addEventListener("change", choose);
  choose();
  show();
}

document.querySelectorAll("[data-signing]").forEach(start);
