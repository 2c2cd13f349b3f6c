// The browser shows day and month of a date field in its own order, so the day stands beside it in
// words, as everywhere else: Fri 27 Nov 2026 (`studio/formats/`).
const WEEKDAYS = ["Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"];
const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

function inWords(typed) {
  const day = new Date(`${typed.slice(0, 10)}T00:00:00Z`);
  if (!typed || Number.isNaN(day.getTime())) return "";
  const year = String(day.getUTCFullYear()).padStart(4, "0");
  return `${WEEKDAYS[day.getUTCDay()]} ${day.getUTCDate()} ${MONTHS[day.getUTCMonth()]} ${year}`;
}

function show(field) {
  field.parentElement.querySelector(".date-in-words").textContent = inWords(field.value);
}

for (const field of document.querySelectorAll(".with-date > input")) show(field);
document.addEventListener("input", (event) => {
  if (event.target.matches(".with-date > input")) show(event.target);
});
