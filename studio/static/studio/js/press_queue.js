// Presses of one person, sent in the order in which they were pressed. Each is stored before it is
// sent and stays until the server has answered it; its number is what lets the server take it once,
// however often it is sent. Nothing is sent under another sign-in.

import { openStore } from "./press_store.js";

const AT_ONCE = 100; // ms
const AGAIN = 2000; // ms until a server that was away is asked again
const PATIENCE = 10_000; // ms for an answer

export function newNumber() {
  if (crypto.randomUUID) return crypto.randomUUID(); // not on plain http
  const hex = [...crypto.getRandomValues(new Uint8Array(16))]
    .map((byte, place) => (place === 6 ? (byte & 15) | 64 : place === 8 ? (byte & 63) | 128 : byte))
    .map((byte) => byte.toString(16).padStart(2, "0"))
    .join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
}

// `address` takes the presses, `live` gives a fresh token and says who is signed in.
export async function openQueue({ user, key, address, live, token = "" }) {
  const queue = new PressQueue({ user, address, live, token }, await openStore(user, key));
  await queue.refresh();
  queue.send();
  return queue;
}

class PressQueue extends EventTarget {
  state = "here"; // or why nothing is sent: "away", "failing", "signed-out", "other-user"
  #entries = [];
  #new = []; // presses that are being stored: they count at once
  #storing = Promise.resolve();
  #sending = false;
  #timer = 0;
  #asked = 0; // how often the store was asked, and which of its answers is shown
  #shown = 0;

  constructor(page, store) {
    super();
    Object.assign(this, page);
    this.store = store;
    this.tabs = new BroadcastChannel(`presses-${this.user}`);
    this.tabs.onmessage = ({ data }) => this.#heard(data);
    window.addEventListener("online", () => this.send());
    document.addEventListener("visibilitychange", () => document.hidden || this.send());
  }

  get safe() {
    return this.store.safe;
  }

  waiting() {
    const stored = this.#entries.filter((each) => each.press && !each.answer);
    return [...stored.map((each) => each.press), ...this.#new];
  }

  // Those that the server refused, which stay until somebody has seen them.
  refused() {
    return this.#entries.filter((each) => each.answer || each.unreadable);
  }

  // Resolves with the press once it is stored; it is sent after that.
  async add(press) {
    const pressed = {
      number: newNumber(),
      pressed_at: Date.now(),
      address: this.address,
      ...press,
    };
    this.#new.push(pressed);
    this.dispatchEvent(new Event("change"));
    const stored = this.#storing.then(() => this.store.add({ press: pressed }));
    this.#storing = stored.catch(() => {});
    await stored;
    await this.#changed(pressed);
    this.send();
    return pressed;
  }

  // Sends a press that met somebody else's change once more, knowing that change.
  async insist({ id, press, answer }) {
    const { seen = press.seen, version = press.version } = answer;
    await this.add({ ...press, number: newNumber(), seen, version });
    await this.remove({ id });
  }

  // One of `refused()`, or of `waiting()` where the server fails at it.
  async remove({ id, press }) {
    const entry = this.#entries.find((each) => (id ? each.id === id : each.press === press));
    if (entry) await this.store.remove(entry);
    await this.#changed();
  }

  // What the page was answered when it looked what is new; nothing where it was not.
  reached(answer) {
    if (!answer || answer.headers.has("X-Kept") || answer.status >= 500) this.#say("away");
    else if (!answer.ok && answer.status !== 304) this.#say("signed-out");
    else if (this.waiting().length) this.send();
    else this.#say("here");
  }

  // Of all tabs of the device one sends, so that nothing is sent out of order or twice.
  async send() {
    if (this.#sending) return;
    this.#sending = true;
    clearTimeout(this.#timer);
    try {
      await alone(`presses-${this.user}`, () => this.#sendAll());
    } finally {
      this.#sending = false;
    }
    // What was pressed while the last answer came in does not wait for the next try.
    const soon = this.state === "here" ? AT_ONCE : AGAIN;
    if (this.waiting().length) this.#timer = setTimeout(() => this.send(), soon);
  }

  // A press that was `stored` may have been sent by another tab since.
  async refresh(stored = null) {
    const turn = ++this.#asked;
    const entries = await this.store.all();
    if (turn > this.#shown) [this.#shown, this.#entries] = [turn, entries]; // a later one may be first
    const there = new Set(this.#entries.map((each) => each.press?.number));
    this.#new = this.#new.filter((press) => press !== stored && !there.has(press.number));
    this.dispatchEvent(new Event("change"));
  }

  async #sendAll() {
    let answered = true;
    while (answered) {
      await this.refresh();
      const entry = this.#entries.find((each) => each.press && !each.answer);
      answered = entry && (await this.#sendOne(entry));
    }
  }

  async #sendOne(entry) {
    const response = await this.#post(entry.press);
    if (!response) return false;
    const { status } = response;
    const answer = await response.json().catch(() => ({ said: `The server answered ${status}.` }));
    if (response.ok) await this.store.remove(entry);
    else await this.store.replace({ ...entry, answer: { ...answer, status } });
    this.state = "here";
    await this.#changed();
    const detail = { press: entry.press, answer, status };
    this.dispatchEvent(new CustomEvent("answered", { detail }));
    this.tabs.postMessage(detail);
    return true;
  }

  // The answer, or nothing where the press must wait. Who signed in again has another token.
  async #post(press) {
    const fresh = !this.token;
    if (fresh) await this.#askForToken();
    if (!this.token) return null;
    const { address, ...fields } = press;
    const body = formOf({ ...fields, user: this.user, sent_at: Date.now() });
    const headers = { "X-CSRFToken": this.token, Accept: "application/json" };
    const response = await asked(address, { method: "POST", body, headers });
    if (response && response.type !== "opaqueredirect" && ![403, 500].includes(response.status))
      return response;
    this.token = "";
    if (!response) return this.#say("away");
    if (response.status === 500) return this.#say("failing");
    return fresh ? this.#say("signed-out") : this.#post(press);
  }

  async #askForToken() {
    const response = await asked(this.live, { cache: "no-store" });
    if (!response || response.headers.has("X-Kept")) return this.#say("away");
    if (!response.ok) return this.#say("signed-out");
    const page = new DOMParser().parseFromString(await response.text(), "text/html");
    const user = page.querySelector("[data-user]")?.dataset.user;
    if (user !== this.user) return this.#say("other-user");
    this.token = page.querySelector('meta[name="csrf"]')?.content ?? "";
    return null;
  }

  #say(state) {
    const changed = this.state !== state;
    this.state = state;
    if (changed) this.dispatchEvent(new Event("change"));
    return null;
  }

  async #changed(stored = null) {
    await this.refresh(stored);
    this.tabs.postMessage({});
  }

  async #heard(detail) {
    await this.refresh();
    if (detail.press) this.dispatchEvent(new CustomEvent("answered", { detail }));
  }
}

function alone(name, work) {
  return navigator.locks ? navigator.locks.request(name, work) : work();
}

// Nothing where the network or the server is away, also behind a proxy that is there.
async function asked(address, options) {
  try {
    const signal = AbortSignal.timeout(PATIENCE);
    const response = await fetch(address, { redirect: "manual", signal, ...options });
    return [502, 503, 504].includes(response.status) ? null : response;
  } catch {
    return null;
  }
}

function formOf(fields) {
  const form = new URLSearchParams();
  for (const [name, value] of Object.entries(fields))
    for (const each of [value].flat()) if (each !== undefined && each !== null) form.append(name, each);
  return form;
}
