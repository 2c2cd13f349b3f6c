// htmx sends Django's CSRF token, the one of today where somebody signed in again in another window, and
// says so when the server cannot be reached. What it asks for again and again is no use of the page.
const token = document.querySelector('meta[name="csrf-token"]');

document.body.addEventListener("htmx:configRequest", (event) => {
  const { detail, target } = event;
  const now = document.cookie.match(/(?:^|; )csrftoken=([^;]+)/)?.[1];
  if (now ?? token) detail.headers["X-CSRFToken"] = now ?? token.content;
  if (target.getAttribute("hx-trigger")?.startsWith("every ")) detail.headers["By-Itself"] = "yes";
});

function sayNotSaved(event) {
  if (event.detail.xhr?.status === 401) return sayNotSignedIn();
  if (event.target.closest("[data-finds], [data-asks]")) return; // nothing was to be saved
  const notice = document.querySelector("#not-saved");
  if (notice) notice.hidden = false;
}

function sayNotSignedIn() {
  const notice = document.querySelector("#not-signed-in");
  if (!notice?.hidden) return; // once is enough
  notice.querySelector("a").search = new URLSearchParams({ next: location.pathname + location.search });
  notice.hidden = false;
}

document.body.addEventListener("htmx:sendError", sayNotSaved);
document.body.addEventListener("htmx:responseError", sayNotSaved);
document.body.addEventListener("htmx:afterOnLoad", (event) => {
  const notice = document.querySelector("#not-saved");
  if (notice && event.detail.successful) notice.hidden = true;
});

// A table that is wider than the page says so, and shows at its edge whether more is to come.
function sayWhatScrolls() {
  for (const table of document.querySelectorAll(".table-scroll")) {
    const hidden = table.scrollWidth - table.clientWidth;
    table.classList.toggle("scrolls", hidden > 1);
    table.classList.toggle("more", hidden - table.scrollLeft > 1);
  }
}

document.addEventListener("scroll", sayWhatScrolls, { capture: true, passive: true });
document.body.addEventListener("htmx:afterSettle", sayWhatScrolls);
window.addEventListener("resize", sayWhatScrolls);
window.addEventListener("load", sayWhatScrolls); // fonts and style sheets are there by then

// What ended in the background shows whole on the page when it is loaded anew: not while somebody types
// in it, or it plays.
let typed = false;
document.addEventListener("input", ({ target }) => (typed ||= Boolean(target.form)));
document.body.addEventListener("load-again", () => {
  const plays = [...document.querySelectorAll("audio")].some((audio) => !audio.paused);
  if (!typed && !plays) location.reload();
});

// A form that came back with errors starts at their list.
document.querySelector(".error-summary:not(.specimen-errors *)")?.focus();

// One that was just opened starts in its first field, unless somebody is elsewhere already.
function startInFirstField() {
  const form = document.querySelector("form[data-starts-here]");
  if (!form || location.hash || document.activeElement !== document.body) return;
  const fields = "input:not([type=hidden]), select, textarea";
  const seen = [...form.querySelectorAll(fields)].filter((field) => field.checkVisibility());
  const first = seen.find((field) => !field.disabled && !field.readOnly);
  const chosen = first?.type === "radio" && form.querySelector(`[name="${first.name}"]:checked`);
  (chosen || first)?.focus();
}
window.addEventListener("DOMContentLoaded", startInFirstField); // fields found by typing are there by then

// A picture that was taken with the camera is sent at once.
document.addEventListener("change", (event) => {
  const form = event.target.closest("form[data-takes-photo]");
  if (form && event.target.files.length) form.requestSubmit();
});
