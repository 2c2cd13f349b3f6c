// The list of presses that the server has not taken: those that wait, with numbers that are provisional,
// and those that it refused or that met somebody else's change, until they are removed.

export function showWaiting(queue, place, { lastNumber = () => null } = {}) {
  const draw = () => {
    const rows = [...queue.waiting().map((press) => ({ press })), ...queue.refused()];
    const numbers = provisional(queue, lastNumber());
    for (const message of place.querySelectorAll("[data-says]"))
      message.hidden = !says(message.dataset.says, queue);
    place
      .querySelector("[data-rows]")
      .replaceChildren(...rows.map((entry) => rowOf(queue, place, entry, numbers)));
    place.querySelector("h2").hidden = !rows.length;
    place.hidden = !rows.length && queue.safe && queue.state === "here";
  };
  queue.addEventListener("change", draw);
  draw();
}

// A press that makes a take; one that is over already has its mark.
function isStart(press) {
  return ["start", "over"].includes(press?.what);
}

function says(what, queue) {
  return what === "not-safe" ? !queue.safe : what === queue.state;
}

// What the takes that wait will be called if nobody else logs one before them: by their presses.
function provisional(queue, last) {
  const starts = queue.waiting().filter(isStart);
  const here = starts.filter((press) => press.address === queue.address);
  return new Map(last === null ? [] : here.map((press, place) => [press.number, last + place + 1]));
}

function rowOf(queue, place, entry, numbers) {
  const row = place.querySelector("template").content.cloneNode(true).firstElementChild;
  const part = (name) => row.querySelector(`[data-${name}]`);
  const words = place.querySelector("[data-words]").dataset;
  const { press, answer, unreadable } = entry;
  const guessed = numbers.get(isStart(press) ? press.number : press?.take);
  const number = guessed ?? press?.take_number;
  part("take").textContent = number ? `Take ${number}` : "";
  part("what").textContent = unreadable ? words.unreadable : whatOf(press, words);
  part("provisional").hidden = !guessed;
  part("refused").hidden = !answer;
  if (press) showTime(row.querySelector("time"), press.pressed_at, place.dataset.zone);
  if (answer) {
    show(part("said"), answer.said);
    if (answer.theirs !== undefined) {
      part("both").hidden = false;
      part("theirs").textContent = answer.theirs;
      part("yours").textContent = answer.yours;
      part("insist").hidden = !(answer.seen || answer.version);
    }
  }
  const first = press === queue.waiting()[0];
  part("remove").hidden = !answer && !unreadable && !(first && queue.state === "failing");
  part("remove").addEventListener("click", () => queue.remove(entry));
  part("insist").addEventListener("click", () => queue.insist(entry));
  return row;
}

function whatOf(press, words) {
  const removed = press.what === "circle" && !Number(press.circled);
  const of = press.mark?.replaceAll("_", " ") ?? press.note;
  const what = words[removed ? "uncircle" : press.what];
  return of ? `${what}: ${of}` : what;
}

function show(part, text) {
  part.textContent = text;
  part.hidden = false;
}

function showTime(part, milliseconds, timeZone) {
  const at = new Date(milliseconds);
  const day = at.toLocaleDateString("en-GB", { timeZone, weekday: "short", day: "numeric", month: "short" });
  const time = at.toLocaleTimeString("en-GB", { timeZone });
  part.dateTime = at.toISOString();
  part.textContent = Date.now() - at < 12 * 3600_000 ? time : `${day} ${time}`;
}
