// After a tick or a reading is saved, the focus goes on to the next that waits, so that nobody has to
// look for the place again; where the answer is a problem, it stays with that.
function onward(saved) {
  if (saved.matches(".invalid")) return saved.querySelector("[aria-invalid]");
  const waiting = [...document.querySelectorAll("[data-waits]")];
  return waiting.find((each) => saved.compareDocumentPosition(each) & Node.DOCUMENT_POSITION_FOLLOWING);
}

let saving = null;

document.body.addEventListener("htmx:beforeSwap", (event) => {
  const target = event.detail.target;
  if (target.contains(document.activeElement) || document.activeElement === document.body) saving = target.id;
});

document.body.addEventListener("htmx:afterSettle", () => {
  const saved = saving && document.getElementById(saving);
  saving = null;
  const next = saved && onward(saved);
  next?.focus();
  next?.scrollIntoView({ block: "nearest" });
});
