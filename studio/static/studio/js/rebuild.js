// After a tick or a reading is saved, the focus goes on to the next that waits, so that nobody has to
// look for the place again; where the answer is a problem, it stays with that.
function onward(saved) {
  if (saved.matches(".invalid")) return saved.querySelector("[aria-invalid]");
  return nextAfter(saved);
}

// What is in the place follows it, too, unless one wants to go beyond it.
function nextAfter(place, { beyond = false } = {}) {
  const waiting = [...document.querySelectorAll("[data-waits]")].filter((each) => !beyond || !place.contains(each));
  return waiting.find((each) => place.compareDocumentPosition(each) & Node.DOCUMENT_POSITION_FOLLOWING);
}

function go(to) {
  to.focus({ preventScroll: true });
  to.scrollIntoView({ block: "center" });
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

// N, or the button: the next that is not set yet, from where one is or looks; after the last, the first.
const said = document.querySelector("#said");

function looksAt() {
  const focused = document.activeElement?.closest("#checklist .control, #checklist .in-place");
  if (focused) return focused;
  const places = document.querySelectorAll("#checklist .control, #checklist .in-place");
  return [...places].findLast((each) => each.getBoundingClientRect().bottom < 0);
}

document.querySelector("[data-next]")?.addEventListener("click", () => {
  const from = looksAt();
  const next = (from && nextAfter(from, { beyond: true })) ?? document.querySelector("[data-waits]");
  if (next) go(next);
  else said.textContent = "All is set.";
});

// What others tick appears while the page is open. What somebody types meanwhile stays, with the
// version that it was typed over, so that saving it says what the other set.
const LOOK = 1000; // ms between two looks, so that an answer has another second
const page = document.querySelector("[data-live]");
let since = page?.dataset.since;
let sending = 0; // ticks of this page that wait for their answer

async function look() {
  if (document.hidden || sending) return;
  const asked = since;
  try {
    const query = new URLSearchParams({ since: asked });
    const answer = await fetch(`${page.dataset.live}?${query}`, { cache: "no-store", redirect: "manual" });
    if (answer.status !== 200) return;
    const html = await answer.text();
    if (sending || since !== asked) return; // this page sent something meanwhile
    show(new DOMParser().parseFromString(html, "text/html").querySelector("[data-since]"));
  } catch {
    // the server is away: the next look may find it
  }
}

function show(fresh) {
  since = fresh.dataset.since;
  for (const piece of [...fresh.children]) {
    const old = document.getElementById(piece.id);
    if (old) replace(old, piece);
  }
}

function replace(old, fresh) {
  const focused = old.contains(document.activeElement) ? document.activeElement : null;
  const { selectionStart: start, selectionEnd: end } = focused ?? {};
  const again = focused && sameIn(focused);
  const typed = [...old.querySelectorAll("input[type=text]")].filter((each) => each.value !== each.defaultValue);
  const refused = old.matches(".invalid") ? [old] : [...old.querySelectorAll("li.invalid")];
  if (refused.includes(old)) return; // its own answer stands there: saving it says the rest
  old.replaceWith(fresh);
  for (const each of refused) document.getElementById(each.id)?.replaceWith(each);
  for (const each of typed) typeAgain(each);
  window.htmx?.process(fresh);
  const now = again?.();
  now?.focus({ preventScroll: true });
  if (now?.setSelectionRange && start !== null) now.setSelectionRange(start, end);
}

// Finds, later, what stands there then: by its id, or as the same one of what has an id around it.
function sameIn(element) {
  const { id } = element.closest("[id]");
  const all = () => [...(document.getElementById(id)?.querySelectorAll("button, input, a") ?? [])];
  const place = all().indexOf(element);
  return () => (place < 0 ? document.getElementById(id) : all()[place]);
}

function typeAgain(old) {
  const now = document.getElementById(old.id);
  if (now === old) return;
  if (!now) {
    said.textContent = `“${old.value}”, ${old.ariaLabel}, was not saved: another unit was chosen there.`;
    return;
  }
  now.value = old.value;
  now.form.elements.seen.value = old.form.elements.seen.value;
}

if (page) {
  document.body.addEventListener("htmx:beforeRequest", () => (sending += 1));
  document.body.addEventListener("htmx:afterRequest", () => (sending -= 1));
  page.dataset.ready = "";
  setInterval(look, LOOK);
}
