// One key for what is done often: the element with data-key="t" is used when T is pressed,
// unless somebody is typing. data-key="n arrowright" gives it two. Who turned the single-letter keys
// off (WCAG 2.1.4) has the others only.
const TYPING = "input, textarea, select, [contenteditable]";
const NAMES = { arrowleft: "←", arrowright: "→", arrowup: "↑", arrowdown: "↓" };
const letters = document.documentElement.dataset.characterKeys !== "off";

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.repeat) return;
  if (event.target.closest(TYPING)) return;
  if (!letters && event.key.length === 1) return;
  const wanted = CSS.escape(event.key.toLowerCase());
  const target = document.querySelector(`[data-key~="${wanted}"]`);
  if (!target) return;
  event.preventDefault();
  if (target.matches(TYPING)) target.focus();
  else target.click();
});

// What the panel says as it opens: each key of this page, also of what was put there since.
document.querySelector("#keys-panel")?.addEventListener("beforetoggle", (event) => {
  if (event.newState !== "open") return;
  const list = event.target.querySelector("[data-keys-list]");
  list.replaceChildren();
  for (const each of document.querySelectorAll("[data-key], label:has(kbd)")) {
    if (!each.checkVisibility()) continue;
    const said = each.cloneNode(true);
    const shown = [...said.querySelectorAll("kbd")].map((kbd) => kbd.textContent);
    for (const part of said.querySelectorAll("kbd, svg")) part.remove();
    const row = document.createElement("div");
    for (const key of each.dataset.key?.split(" ") ?? shown) {
      const name = NAMES[key] ?? key.toUpperCase();
      row.append(Object.assign(document.createElement("dt"), { textContent: name }));
    }
    const words = each.ariaLabel ?? said.textContent.trim().replace(/\s+/g, " ");
    row.append(Object.assign(document.createElement("dd"), { textContent: words }));
    list.append(row);
  }
});
