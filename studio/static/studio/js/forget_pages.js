// A tracking page that is kept on the device carries the key to its owner's waiting presses: it goes
// when they sign out, and at the latest when somebody is asked to sign in. The presses stay, encrypted.

const forget = () => globalThis.caches?.delete("tracking-pages"); // there is none on plain http

for (const form of document.querySelectorAll("form[data-forgets-pages]"))
  form.addEventListener("submit", forget);
if (document.querySelector("form[data-forgets-pages=now]")) forget();
