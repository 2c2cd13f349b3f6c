// The page on which files are uploaded: those that were chosen are sent one after the other, and those
// that were cut off go on once the same file is chosen again.

import { newNumber } from "./press_queue.js";
import { checksPieces, create, Refused, remove, send, Stopped } from "./tus.js";

const form = document.querySelector("[data-uploads]");
const { address, list, addTo, most, mostSaid } = form.dataset;
const chooser = form.querySelector("input[type=file]");
const problem = form.querySelector("[data-problem]");
const underWay = document.querySelector("[data-under-way]");
const status = underWay.querySelector("[data-status]");
const pauseButton = underWay.querySelector("[data-pause]");
const token = document.querySelector('meta[name="csrf-token"]').content;
const onRecord = JSON.parse(document.querySelector("#on-record").textContent);

const jobs = []; // { file, facts, address, row, there, state: "waits", "done", "refused" or "cancelled" }
let sending = false;
let paused = false;
let current = null; // the job that is being sent, and what stops it

const unfinished = document.querySelector("[data-unfinished-section]");
const cutOff = () => [...unfinished.querySelectorAll("[data-unfinished]:has([data-resume])")]; // not those refused

function isOf(row, file) {
  const { name, size, modified } = row.dataset;
  return name === file.name && Number(size) === file.size && Number(modified) === file.lastModified;
}

// What is worth knowing of the chosen files before they are sent.
function remarksOn(files) {
  const remarks = [];
  for (const file of files) {
    const before = onRecord.find(([name, size]) => name === file.name && size === file.size);
    const cut = cutOff().find((row) => isOf(row, file));
    const percent = cut && Math.floor((100 * cut.dataset.offset) / cut.dataset.size);
    if (file.size > Number(most)) remarks.push(`${file.name} is larger than ${mostSaid}: split it, or export FLAC.`);
    if (!file.size) remarks.push(`${file.name} is empty: export or copy it again.`);
    if (cut) remarks.push(`${file.name} goes on at ${percent} %, with what was said of it then.`);
    else if (before) remarks.push(`${before[2]} has a file of this name and size already: ${file.name}.`);
  }
  const names = files.map((file) => file.name.toLowerCase());
  if (new Set(names).size < names.length) remarks.push("Two have the same name: the second gets a number.");
  return remarks;
}

function tell(remarks) {
  problem.replaceChildren(...remarks.map((text) => Object.assign(document.createElement("p"), { textContent: text })));
  problem.hidden = !remarks.length;
}

function addJob(file, { cut, facts }) {
  const row = document.querySelector("template[data-row]").content.firstElementChild.cloneNode(true);
  row.querySelector("[data-name]").textContent = file.name;
  row.querySelector("progress").ariaLabel = `Uploaded of ${file.name}`;
  row.querySelector("[data-cancel]").ariaLabel = `Cancel ${file.name}`;
  underWay.querySelector("[data-sending]").append(row);
  const job = { file, facts, row, address: cut?.dataset.unfinished, there: Number(cut?.dataset.offset ?? 0), state: "waits" };
  row.querySelector("[data-cancel]").addEventListener("click", () => cancel(job));
  if (cut) removeRow(cut);
  jobs.push(job);
  show(job, "Waiting");
}

function removeRow(row) {
  row.remove();
  unfinished.hidden = !unfinished.querySelector("[data-unfinished]");
}

function show(job, said) {
  const percent = Math.floor((100 * job.there) / Math.max(job.file.size, 1));
  job.row.querySelector("progress").value = percent;
  job.row.querySelector("[data-percent]").textContent = `${percent} %`;
  job.row.querySelector("[data-cancel]").hidden = job.state !== "waits";
  if (said !== undefined) job.row.querySelector("[data-said]").textContent = said;
  const counted = jobs.filter(({ state }) => state === "waits" || state === "done");
  const sum = (of) => counted.reduce((total, each) => total + of(each), 0);
  const all = Math.floor((100 * sum(({ there }) => there)) / Math.max(sum(({ file }) => file.size), 1));
  const done = counted.filter(({ state }) => state === "done").length;
  underWay.querySelector("[data-all]").value = all;
  underWay.querySelector("[data-all-said]").textContent = `${all} %, ${done} of ${counted.length} files`;
}

function say(text) {
  if (status.textContent !== text) status.textContent = text; // a screen reader reads every change
}

async function sendAll() {
  if (sending) return;
  sending = true;
  underWay.hidden = pauseButton.hidden = false;
  // All are begun first, so that a page that is loaded again knows of each.
  await each(
    (job) => !job.address,
    async (job, options) => {
      job.address = await create(address, job.file, job.facts, options);
    },
  );
  await each(
    () => true,
    async (job, options) => {
      show(job, "Uploading");
      say(`Uploading ${job.file.name}`);
      job.address ??= await create(address, job.file, job.facts, options); // came while others were sent
      job.deliverable = await send(job.address, job.file, options);
      job.state = "done";
      show(job, "Uploaded");
    },
  );
  sending = false;
  if (!paused) finish();
}

async function each(isMeant, work) {
  for (let job; !paused && (job = jobs.find((one) => one.state === "waits" && isMeant(one))); )
    try {
      const stop = new AbortController();
      current = { job, stop };
      await work(job, optionsOf(job, stop.signal));
    } catch (error) {
      if (error instanceof Stopped) continue; // paused or cancelled
      if (!(error instanceof Refused)) throw error;
      job.state = "refused";
      show(job, error.message);
    }
}

function optionsOf(job, signal) {
  return {
    token,
    signal,
    progress: (there) => {
      job.there = there;
      show(job);
    },
    waits: (away) => {
      show(job, away ? "The server can’t be reached: it goes on by itself." : "Uploading");
      say(away ? "The line is cut: the upload goes on by itself when it is back." : `Uploading ${job.file.name}`);
    },
  };
}

function finish() {
  const refused = jobs.filter(({ state }) => state === "refused");
  const where = new Set(jobs.map(({ deliverable }) => deliverable).filter(Boolean));
  pauseButton.hidden = true;
  if (!refused.length && where.size) location.assign(where.size === 1 ? [...where][0] : list);
  else if (where.size) {
    say(`${refused.length} of ${jobs.length} files could not be uploaded; the others were: `);
    status.append(Object.assign(document.createElement("a"), { href: [...where][0], textContent: "show them" }));
  } else {
    say(refused.length ? "Nothing was uploaded." : "");
    form.hidden = false; // with all that was typed
    chooser.value = "";
    tell([]);
  }
}

async function cancel(job) {
  job.state = "cancelled";
  if (current?.job === job) current.stop.abort();
  show(job, "Cancelled");
  if (job.address) await remove(job.address, token).catch(() => {}); // else it expires
}

form.addEventListener("submit", (event) => {
  event.preventDefault();
  const files = [...chooser.files].filter((file) => file.size && file.size <= Number(most));
  if (!files.length) {
    tell(chooser.files.length ? remarksOn([...chooser.files]) : ["Choose the files to upload."]);
    chooser.focus();
    return;
  }
  if (!sending) for (const { row } of jobs.splice(0)) row.remove(); // of a try that came to nothing
  const typed = Object.fromEntries(new FormData(form));
  const facts = { ...typed, batch: newNumber(), ...(addTo && { add_to: addTo }) };
  for (const file of files) addJob(file, { cut: cutOff().find((row) => isOf(row, file)), facts });
  form.hidden = true;
  sendAll();
});

chooser.addEventListener("change", () => tell(remarksOn([...chooser.files])));

pauseButton.addEventListener("click", () => {
  paused = !paused;
  pauseButton.textContent = paused ? "Resume" : "Pause";
  say(paused ? "Paused: what has arrived is kept." : "");
  if (paused) current?.stop.abort();
  else sendAll();
});

document.addEventListener("change", (event) => {
  const row = event.target.matches("[data-resume]") && event.target.closest("[data-unfinished]");
  const [file] = (row && event.target.files) || [];
  if (!file) return;
  if (isOf(row, file)) {
    addJob(file, { cut: row });
    sendAll();
  } else
    tell([`${file.name} is not the file that was cut off, or it was changed since: remove that upload and upload this anew.`]);
});

document.addEventListener("click", async (event) => {
  const row = event.target.matches("[data-remove]") && event.target.closest("[data-unfinished]");
  if (!row) return;
  try {
    await remove(row.dataset.unfinished, token);
    removeRow(row);
  } catch (error) {
    tell([error instanceof Refused ? error.message : "The server can’t be reached."]);
  }
});

window.addEventListener("beforeunload", (event) => {
  if (sending && !paused) event.preventDefault();
});

for (const part of document.querySelectorAll("[data-script]")) part.hidden = false;
form.querySelector("[data-unchecked]").hidden = checksPieces;
