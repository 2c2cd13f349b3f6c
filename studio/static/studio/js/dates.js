// The browser shows the day and time of a field in its own order, so both stand beside it as they
// are written everywhere else: Fri 27 Nov 2026, 09:30 (`studio/formats/`).
const WEEKDAYS = ["Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"];
const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

function inWords(typed) {
  const day = new Date(`${typed.slice(0, 10)}T00:00:00Z`);
  if (!typed || Number.isNaN(day.getTime())) return "";
  const year = String(day.getUTCFullYear()).padStart(4, "0");
  const words = `${WEEKDAYS[day.getUTCDay()]} ${day.getUTCDate()} ${MONTHS[day.getUTCMonth()]} ${year}`;
  const time = typed.slice(11, 16);
  return time ? `${words}, ${time}` : words;
}

function show(field) {
  field.parentElement.querySelector(".date-in-words").textContent = inWords(field.value);
}

for (const field of document.querySelectorAll(".with-date > input")) show(field);
document.addEventListener("input", (event) => {
  if (event.target.matches(".with-date > input")) show(event.target);
});
