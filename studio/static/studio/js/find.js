// The box in the header as a combobox (ARIA Authoring Practices, list autocomplete): what is found
// shows under it as somebody types, the first of it is chosen. Arrows choose, Enter opens, Escape shuts
// the list and leaves what was typed. Without this, Enter asks for the page.
const form = document.querySelector("[data-finds]");
const box = form?.querySelector("input");
const found = form?.querySelector("[data-found]");
let answered = ""; // to what was typed the list belongs

const options = () => [...found.querySelectorAll('[role="option"]')];
const chosen = () => found.querySelector('[aria-selected="true"]');

function choose(option) {
  chosen()?.setAttribute("aria-selected", "false");
  option?.setAttribute("aria-selected", "true");
  option?.scrollIntoView({ block: "nearest" });
  if (option) box.setAttribute("aria-activedescendant", option.id);
  else box.removeAttribute("aria-activedescendant");
}

function open() {
  found.hidden = false;
  box.setAttribute("aria-expanded", "true");
  choose(options()[0]);
}

function shut() {
  found.hidden = true;
  box.setAttribute("aria-expanded", "false");
  choose(null);
}

if (box) {
  box.type = "text"; // a search box may not be a combobox
  box.inputMode = "search";
  box.setAttribute("role", "combobox");
  box.setAttribute("aria-autocomplete", "list");
  box.setAttribute("aria-controls", "search-options");
  box.setAttribute("aria-expanded", "false");
}
form?.addEventListener("htmx:beforeRequest", (event) => {
  if (box.value.trim()) return;
  event.preventDefault(); // an emptied box asks for nothing
  answered = "";
  shut();
});
form?.addEventListener("htmx:afterSwap", (event) => {
  answered = event.detail.requestConfig.formData.get("q");
  if (form.contains(document.activeElement) && found.textContent.trim()) open();
  else shut();
});
form?.addEventListener("submit", (event) => {
  const option = chosen();
  if (!option || answered !== box.value || event.submitter?.matches(":focus")) return;
  event.preventDefault();
  option.click();
});
form?.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && !found.hidden) {
    event.preventDefault();
    shut();
  }
  const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
  if (!step || !answered) return;
  event.preventDefault();
  if (found.hidden) return open();
  const all = options();
  choose(all[(all.indexOf(chosen()) + step + all.length) % all.length]);
});
form?.addEventListener("focusout", (event) => {
  if (!form.contains(event.relatedTarget)) shut();
});
box?.addEventListener("focus", () => {
  if (answered && answered === box.value) open();
});
