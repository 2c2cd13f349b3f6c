// Whoever answers the telephone has the schedule open all day: once a minute the sheets are asked for anew,
// with the line of now and what others booked, unless somebody is at work in them.
const EVERY = 60_000;

async function refresh() {
  const sheets = document.querySelector("[data-sheets]");
  const busy = sheets.contains(document.activeElement) || document.querySelector(".ghost, [data-move-bar]:not([hidden])");
  if (document.hidden || busy) return;
  try {
    const answer = await fetch(location.href, { headers: { "By-Itself": "yes" } });
    if (!answer.ok || answer.redirected) return;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const fresh = page.querySelector("[data-sheets]");
    if (!fresh || document.querySelector(".ghost")) return;
    sheets.replaceChildren(...fresh.childNodes);
  } catch {
    // the next minute asks again
  }
}

setInterval(refresh, EVERY);
document.addEventListener("visibilitychange", refresh);
