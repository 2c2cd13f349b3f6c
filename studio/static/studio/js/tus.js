// Uploads by the open protocol tus 1.0: each file in pieces, which the server says it has.

const VERSION = { "Tus-Resumable": "1.0.0" };
const LARGEST = 8 * 2 ** 20; // bytes of a piece
const SMALLEST = 2 ** 18;
const A_PIECE = 2000; // ms that one should take: progress is seen, and little is lost with a line
const PATIENCE = 120_000; // ms for an answer
const SHORTEST_PAUSE = 500; // ms
const LONGEST_PAUSE = 15_000; // ms until a server that was away is asked again

export const checksPieces = Boolean(globalThis.crypto?.subtle); // not on plain http

export class Refused extends Error {} // in words for the user

export class Stopped extends Error {}

class Away extends Error {} // for now: the network, the server, or another window that sends

// The address of a new upload of the file, about which `facts` are said.
export async function create(address, file, facts, { token, signal, waits }) {
  const pairs = { filename: file.name, modified: file.lastModified, ...facts };
  const metadata = Object.entries(pairs).map(([key, value]) => `${key} ${base64(String(value))}`);
  const headers = { "Upload-Length": file.size, "Upload-Metadata": metadata.join(",") };
  const begin = () => ask(address, "POST", { headers, token, signal });
  return (await patiently(begin, { signal, waits })).headers.get("Location");
}

// Sends what the server does not have, through cut lines and restarts, until the file is on record:
// the address of its deliverable. `progress` is told how many bytes are there, `waits` whether it
// waits for the server. Throws Refused, or Stopped by the signal.
export async function send(address, file, { token, signal, progress, waits }) {
  const state = { piece: SMALLEST };
  const goOn = async (reached) => {
    state.piece = Math.max(SMALLEST, state.piece / 2);
    let answer = await ask(address, "HEAD", { token, signal });
    for (;;) {
      reached();
      const offset = Number(answer.headers.get("Upload-Offset"));
      progress(offset);
      const deliverable = answer.headers.get("Studio-Deliverable");
      if (deliverable) return deliverable;
      answer = await sendPiece(address, file, offset, state, { token, signal });
    }
  };
  return patiently(goOn, { signal, waits });
}

// What the work gives, which is done again for as long as the server is away.
async function patiently(work, { signal, waits }) {
  let wait = SHORTEST_PAUSE;
  const reached = () => {
    wait = SHORTEST_PAUSE;
    waits(false);
  };
  for (;;) {
    try {
      return await work(reached);
    } catch (error) {
      if (signal.aborted) throw new Stopped();
      if (!(error instanceof Away)) throw error;
      waits(true);
      await pause(wait, signal);
      wait = Math.min(2 * wait, LONGEST_PAUSE);
    }
  }
}

export async function remove(address, token) {
  await ask(address, "DELETE", { token });
}

async function sendPiece(address, file, offset, state, { token, signal }) {
  let body;
  try {
    body = await file.slice(offset, offset + state.piece).arrayBuffer();
  } catch {
    throw new Refused("The file can’t be read any more: it was moved or changed. Choose it again.");
  }
  const headers = { "Upload-Offset": offset, "Content-Type": "application/offset+octet-stream" };
  if (checksPieces) {
    const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", body));
    headers["Upload-Checksum"] = `sha256 ${btoa(String.fromCharCode(...digest))}`;
  }
  const began = performance.now();
  const answer = await ask(address, "PATCH", { headers, body, token, signal });
  const took = performance.now() - began;
  const wanted = (state.piece * A_PIECE) / Math.max(took, 1);
  state.piece = Math.round(Math.min(LARGEST, 2 * state.piece, Math.max(SMALLEST, wanted)));
  return answer;
}

// An answer that is as it should be. Throws Away where it is worth asking again, or Refused.
async function ask(address, method, { headers = {}, body, token, signal } = {}) {
  const over = new AbortController();
  const end = () => over.abort();
  const timer = setTimeout(end, PATIENCE);
  signal?.addEventListener("abort", end);
  let answer;
  try {
    if (signal?.aborted) end();
    headers = { ...VERSION, "X-CSRFToken": token, ...headers };
    answer = await fetch(address, { method, headers, body, redirect: "manual", signal: over.signal });
  } catch {
    throw new Away();
  } finally {
    clearTimeout(timer);
    signal?.removeEventListener("abort", end);
  }
  if (answer.ok) return answer;
  const { status } = answer;
  const said = answer.headers.get("Studio-Said");
  if (answer.type === "opaqueredirect" || status === 403)
    throw new Refused("You are signed out: sign in again, then choose the file on this page once more. It goes on where it was.");
  // Another window sends, a piece came late, cut or damaged, or a proxy's server is away.
  const passes = method === "PATCH" && [400, 409, 423, 460].includes(status);
  if (passes || (!said && status >= 500)) throw new Away();
  throw new Refused(said ? decodeURIComponent(said) : `The server answered ${status}.`);
}

function pause(milliseconds, signal) {
  return new Promise((over) => {
    const done = () => {
      clearTimeout(timer);
      signal.removeEventListener("abort", done);
      window.removeEventListener("online", done);
      over();
    };
    const timer = setTimeout(done, milliseconds);
    signal.addEventListener("abort", done);
    window.addEventListener("online", done);
  });
}

function base64(text) {
  return btoa(String.fromCharCode(...new TextEncoder().encode(text)));
}
