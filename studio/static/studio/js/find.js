// The box in the header: what is found shows under it as somebody types. Arrows go through it, Enter
// opens the first, Escape shuts it and leaves what was typed. Without this, Enter asks for the page.
const form = document.querySelector("[data-finds]");
const box = form?.querySelector("input");
const found = form?.querySelector("[data-found]");
let answered = ""; // to what was typed the list belongs

const links = () => [...found.querySelectorAll("a")];

function shut() {
  found.hidden = true;
}

form?.addEventListener("htmx:beforeRequest", (event) => {
  if (box.value.trim()) return;
  event.preventDefault(); // an emptied box asks for nothing
  answered = "";
  shut();
});
form?.addEventListener("htmx:afterSwap", (event) => {
  answered = event.detail.requestConfig.formData.get("q");
  found.hidden = !form.contains(document.activeElement) || !found.textContent.trim();
});
form?.addEventListener("submit", (event) => {
  const first = links()[0];
  if (found.hidden || !first || answered !== box.value || event.submitter?.matches(":focus")) return;
  event.preventDefault();
  first.click();
});
form?.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && !found.hidden) {
    event.preventDefault(); // which would empty the box
    box.focus();
    shut();
  }
  const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
  if (!step || !answered) return;
  event.preventDefault();
  found.hidden = false;
  const stops = [box, ...links()];
  const at = stops.indexOf(document.activeElement);
  stops[(at + step + stops.length) % stops.length].focus();
});
form?.addEventListener("focusout", (event) => {
  if (!form.contains(event.relatedTarget)) shut();
});
box?.addEventListener("focus", () => {
  if (answered && answered === box.value) found.hidden = false;
});
