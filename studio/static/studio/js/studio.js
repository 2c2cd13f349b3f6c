// htmx sends Django's CSRF token, and says so when the server cannot be reached.
const token = document.querySelector('meta[name="csrf-token"]');

document.body.addEventListener("htmx:configRequest", (event) => {
  if (token) event.detail.headers["X-CSRFToken"] = token.content;
});

function sayNotSaved() {
  const notice = document.querySelector("#not-saved");
  if (notice) notice.hidden = false;
}

document.body.addEventListener("htmx:sendError", sayNotSaved);
document.body.addEventListener("htmx:responseError", sayNotSaved);
document.body.addEventListener("htmx:afterOnLoad", (event) => {
  const notice = document.querySelector("#not-saved");
  if (notice && event.detail.successful) notice.hidden = true;
});

// A form that came back with errors starts at their list.
document.querySelector(".error-summary:not(.specimen-errors *)")?.focus();
