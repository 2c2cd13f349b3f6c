// Each field of the page is saved as it is left. What could not be sent is kept in the page and in
// this browser until the server has it; what somebody else saved first is shown beside what was
// typed, and one of both is chosen.
const AGAIN = [2, 5, 10, 20]; // seconds between tries while the server cannot be reached
const editor = document.querySelector("[data-editor]");
const status = editor.querySelector("[data-status]");
const words = editor.querySelector("[data-status-words]");
const token = document.querySelector('meta[name="csrf-token"]').content;
const store = `not saved: ${location.pathname}`;
const waiting = new Map(); // id of a field -> what was typed, and what stood there before
let sending; // the promise of what is on its way
let tries = 0;
let timer;

// A field of the page, known by its chain, its stage and its name.
function fieldOf(input) {
  const chain = input.closest("[data-chain]").dataset;
  const stage = input.closest("[data-stage]").dataset.stage;
  const name = input.dataset.name ?? input.name.replace(/^c\d+u\w+?-/, "");
  return { id: input.name, address: chain.save, stage, name };
}

function inputOf(id) {
  return editor.elements[id];
}

function line(input) {
  return input.closest(".control");
}

for (const input of editor.querySelectorAll("[data-stage] :is(input, select, textarea)")) {
  input.dataset.saved = input.value;
}

// Those that wait for the server, and not for a decision.
function toSend() {
  return [...waiting.values()].filter((each) => !each.refused && !each.theirs);
}

function keep() {
  const kept = [...waiting.values()].filter((each) => !each.refused);
  if (kept.length) localStorage.setItem(store, JSON.stringify(kept));
  else localStorage.removeItem(store);
}

function say(input, text, isWaiting) {
  line(input).classList.toggle("waiting", isWaiting);
  const place = line(input).querySelector("[data-words]");
  if (place && text) place.textContent = text;
}

function sayHowAllStands(unreachable = "") {
  const rest = toSend().length;
  const refused = waiting.size - rest;
  const parts = [];
  if (rest) parts.push(`${rest} not saved yet${unreachable && `: ${unreachable}`}`);
  if (refused) parts.push(`${refused} to correct`);
  words.textContent = parts.length ? `${parts.join("; ")}.` : "All saved.";
  status.classList.toggle("waiting", unreachable !== "" || refused > 0);
  editor.dispatchEvent(new Event("stands")); // see `chain_bar.js`
}

function typed(input, more = {}) {
  const before = waiting.get(input.name);
  if (input.value === input.dataset.saved && !before) return;
  const was = before?.was ?? input.dataset.saved;
  waiting.set(input.name, { ...fieldOf(input), value: input.value, was, ...more });
  clear(input);
  keep();
  send();
}

function putBack(input, value) {
  input.value = value;
  typed(input, { undoes: true });
}

function clear(input) {
  line(input).classList.remove("invalid");
  line(input).querySelector("[data-problem]").replaceChildren();
}

function send() {
  sending ??= sendAll().finally(() => (sending = undefined));
  return sending;
}

async function sendAll() {
  clearTimeout(timer);
  let unreachable = "";
  for (let next = toSend()[0]; next && !unreachable; next = toSend()[0]) {
    sayHowAllStands();
    unreachable = await sendOne(next);
  }
  keep();
  sayHowAllStands(unreachable);
  if (unreachable) {
    for (const each of toSend()) say(inputOf(each.id), "not saved yet", true);
    timer = setTimeout(send, 1000 * AGAIN[Math.min(tries++, AGAIN.length - 1)]);
  } else {
    tries = 0;
  }
}

// Answers with a reason where the server did not take or refuse it.
async function sendOne(entry) {
  const input = inputOf(entry.id);
  const chain = input.closest("[data-chain]");
  const body = new FormData();
  for (const name of ["stage", "name", "value", "was"]) body.append(name, entry[name]);
  if (entry.isSure) body.append("is_sure", "1");
  body.append("seen", chain.querySelector("[data-seen]").value);
  let response, answer;
  try {
    response = await fetch(entry.address, {
      method: "POST",
      body,
      headers: { "X-CSRFToken": token },
      redirect: "manual",
    });
    if (response.type === "opaqueredirect" || response.status === 403) {
      return "sign in again in another window, then reload this page; nothing typed is lost";
    }
    if (![200, 409, 422].includes(response.status)) return `the server answered ${response.status}`;
    answer = await response.json();
  } catch {
    return "the server cannot be reached. It is tried again by itself";
  }
  // What was typed meanwhile into the same field goes next; it replaces what is saved now.
  const since = waiting.get(entry.id) === entry ? null : waiting.get(entry.id);
  if (response.status === 200) {
    waiting.delete(entry.id);
    if (since) waiting.set(entry.id, { ...since, was: answer.value });
    if (!entry.undoes) editor.dispatchEvent(new CustomEvent("saved", { detail: { input, was: entry.was } }));
    show(input, answer, !since);
    input.closest("[data-stage]").querySelector("[data-curves]").innerHTML = answer.curves;
    await showChain(chain, answer);
  } else if (since) {
    return "";
  } else if (response.status === 422 || answer.gone) {
    entry.refused = true;
    refuse(input, answer.problem);
    if (answer.asks) offerAllTheSame(input, entry);
  } else {
    entry.theirs = answer;
    offerBoth(input, entry);
  }
  return "";
}

function show(input, answer, replace) {
  input.dataset.saved = answer.value;
  if (!replace) return;
  clear(input);
  say(input, "", false);
  if (input.value !== answer.value) input.value = answer.value;
  const drawing = line(input).querySelector(".control-drawing");
  if (!drawing || answer.drawing === undefined) return;
  drawing.innerHTML = answer.drawing;
  Object.assign(drawing.dataset, { angle: answer.angle ?? "", shows: answer.value });
  line(input).querySelector("[data-words]").textContent = answer.words;
}

async function showChain(chain, answer) {
  chain.querySelector("[data-seen]").value = answer.seen;
  chain.querySelector("[data-state]").innerHTML = answer.state;
  chain.querySelector("[data-warnings]").innerHTML = answer.warnings;
  editor.querySelector("[data-setup-warnings]").innerHTML = answer.setup_warnings;
  if (answer.others) await showOthers(chain);
  const half = editor.querySelector(`[data-chain="${answer.half}"]`);
  if (half) await showOthers(half);
}

// The chain was changed elsewhere, by somebody else or with the half of a pair: take over what was
// saved in fields that are at rest here.
async function showOthers(chain) {
  const response = await fetch(location.href);
  const page = new DOMParser().parseFromString(await response.text(), "text/html");
  const now = page.querySelector(`[data-chain="${chain.dataset.chain}"]`);
  const stages = (of) => [...of.querySelectorAll("[data-stage]")].map((each) => each.dataset.stage);
  if (!now || stages(now).join() !== stages(chain).join()) {
    words.textContent = "Somebody else changed the units: reload the page to see them.";
    return;
  }
  const regions = "[data-state], [data-warnings], [data-curves]";
  const fresh = [...now.querySelectorAll(regions)];
  for (const region of chain.querySelectorAll(regions)) {
    region.replaceChildren(...fresh.shift().childNodes);
  }
  const whole = "[data-setup-warnings]";
  editor.querySelector(whole).replaceChildren(...page.querySelector(whole).childNodes);
  chain.querySelector("[data-seen]").value = now.querySelector("[data-seen]").value;
  for (const theirs of now.querySelectorAll("[data-stage] :is(input, select, textarea)")) {
    const input = inputOf(theirs.name);
    if (waiting.has(input.name) || input === document.activeElement) continue;
    if (input.dataset.saved === theirs.value) continue;
    const drawing = line(theirs).querySelector(".control-drawing");
    show(input, {
      value: theirs.value,
      drawing: drawing?.innerHTML,
      angle: drawing?.dataset.angle,
      words: line(theirs).querySelector("[data-words]")?.textContent,
    }, true);
  }
}

function refuse(input, problem) {
  say(input, "not saved", false);
  line(input).classList.add("invalid");
  const list = document.createElement("ul");
  list.className = "errorlist";
  list.append(Object.assign(document.createElement("li"), { textContent: problem }));
  line(input).querySelector("[data-problem]").replaceChildren(list);
}

// One of the ways on from a question beside a field. Who presses it by key goes on from that field.
function choice(input, textContent, choose) {
  const button = Object.assign(document.createElement("button"), {
    type: "button",
    className: "button",
    textContent,
  });
  button.addEventListener("click", (event) => {
    choose();
    if (event.detail === 0) input.focus();
    send();
  });
  return button;
}

function offerAllTheSame(input, entry) {
  line(input).querySelector("[data-problem]").append(
    choice(input, `Save “${entry.value}” anyway`, () => {
      clear(input);
      waiting.set(entry.id, { ...entry, refused: false, isSure: true });
    }),
    choice(input, `Leave it at ${entry.was || "not logged"}`, () => putBack(input, entry.was)),
  );
}

function offerBoth(input, entry) {
  const { theirs } = entry;
  const box = document.createElement("div");
  box.className = "two-versions";
  const said = document.createElement("p");
  said.textContent = `${theirs.who} saved this while you were typing. Nothing was overwritten.`;
  box.append(
    said,
    choice(input, `Keep theirs: ${theirs.value || "empty"}`, () => {
      waiting.delete(entry.id);
      show(input, theirs, true);
    }),
    choice(input, `Save mine: ${entry.value || "empty"}`, () => {
      clear(input);
      waiting.set(entry.id, { ...entry, was: theirs.value, theirs: undefined });
    }),
  );
  say(input, "two versions", true);
  line(input).querySelector("[data-problem]").replaceChildren(box);
}

editor.addEventListener("undo", ({ detail }) => putBack(detail.input, detail.was));
editor.addEventListener("change", (event) => {
  if (event.target.closest("[data-stage]")) typed(event.target);
});
// Enter goes on to the next control, and from the last of all to the next unit; Tab to every field.
editor.addEventListener("keydown", (event) => {
  if (event.key !== "Enter" || !event.target.matches("input, select, .chosen")) return;
  event.preventDefault();
  const here = line(event.target);
  const lines = [...editor.querySelectorAll("[data-stage] .control")];
  const next = lines.slice(lines.indexOf(here) + 1).find((each) => each.matches(".editor-control"));
  (next?.querySelector("input") ?? document.querySelector(".editor-add input[list]"))?.focus();
});
window.addEventListener("online", send);
window.addEventListener("beforeunload", (event) => {
  if (waiting.size) event.preventDefault();
});
// What leads to another page waits until all is saved.
document.addEventListener("submit", async (event) => {
  if (!waiting.size || !event.target.matches("[data-after-saving]")) return;
  event.preventDefault();
  await send();
  if (!waiting.size) event.target.requestSubmit();
});

// What this browser could not send before the page was closed.
for (const entry of JSON.parse(localStorage.getItem(store) ?? "[]")) {
  const input = inputOf(entry.id);
  if (!input) continue;
  input.value = entry.value;
  waiting.set(entry.id, { ...entry, theirs: undefined });
}
if (waiting.size) send();
